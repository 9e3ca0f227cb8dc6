import { handIn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has a class-mate’s number in a text that looks like the line with the number.',
  outcome: /^marked$/,
  put(folder, name, student) {
    const source = `const old = "const studentNumber = '1001';";\nconst studentNumber = '${student}';`;
    handIn(folder, `${name}.ipynb`, returnOf(oneSlit, student, { 'student-number': source }));
  },
} satisfies HostileFile;

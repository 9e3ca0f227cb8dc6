import { handIn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has a class-mate’s number in a comment before its own.',
  outcome: /^marked$/,
  put(folder, name, student) {
    const source = `// const studentNumber = '1001';\n/* studentNumber = '1002' */ const studentNumber = '${student}';`;
    handIn(folder, `${name}.ipynb`, returnOf(oneSlit, student, { 'student-number': source }));
  },
} satisfies HostileFile;

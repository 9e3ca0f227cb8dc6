import { handIn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Computes its number, so that reading it takes running it.',
  outcome: /^unknown student$/,
  put(folder, name, student) {
    const source = `const studentNumber = ['${student}', '1001'][Date.now() % 2];`;
    handIn(folder, `${name}.ipynb`, returnOf(oneSlit, student, { 'student-number': source }));
  },
} satisfies HostileFile;

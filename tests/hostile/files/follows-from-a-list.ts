import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells:
    'Hands in a list where a number is asked for, with what would follow from its first: neither counts.',
  outcome: /^marked$/,
  loses: 4,
  put(folder, name, student) {
    const wrong = {
      '2-1-work': 'const firstDarkLine: any = [1];',
      '2-2-work': 'const bandWidth: any = 2000 * given.focalLength * Math.tan(degrees(1));',
    };
    handIn(folder, `${name}.ipynb`, modelReturn(oneSlit, student, wrong));
  },
} satisfies HostileFile;

import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Hands in an uncertainty within which every value lies: neither counts.',
  outcome: /^marked$/,
  loses: 4,
  put(folder, name, student) {
    const wrong = {
      '2-1-work': 'const firstDarkLine: any = { value: 1, u: 1e300 };',
      '2-2-work': 'const bandWidth: any = { value: 1, u: 1e300 };',
    };
    handIn(folder, `${name}.ipynb`, modelReturn(oneSlit, student, wrong));
  },
} satisfies HostileFile;

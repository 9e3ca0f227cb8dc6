import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Hands in values without end, from which anything might follow: neither counts.',
  outcome: /^marked$/,
  loses: 4,
  put(folder, name, student) {
    const wrong = {
      '2-1-work': 'const firstDarkLine: any = Infinity;',
      '2-2-work': 'const bandWidth: any = Infinity;',
    };
    handIn(folder, `${name}.ipynb`, modelReturn(oneSlit, student, wrong));
  },
} satisfies HostileFile;

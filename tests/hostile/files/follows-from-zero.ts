import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Hands in 0 twice, since 0 would follow from 0: neither counts.',
  outcome: /^marked$/,
  loses: 4,
  put(folder, name, student) {
    const wrong = {
      '2-1-work': 'const firstDarkLine: any = 0;',
      '2-2-work': 'const bandWidth: any = 0;',
    };
    handIn(folder, `${name}.ipynb`, modelReturn(oneSlit, student, wrong));
  },
} satisfies HostileFile;

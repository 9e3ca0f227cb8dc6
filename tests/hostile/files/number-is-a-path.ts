import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has a path in the place of the student number.',
  outcome: /^unknown student$/,
  put(folder, name) {
    handIn(folder, `${name}.ipynb`, modelReturn(oneSlit, '../../1001'));
  },
} satisfies HostileFile;

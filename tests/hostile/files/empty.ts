import { handIn } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Is an empty file.',
  outcome: /^not a notebook$/,
  put(folder, name) {
    handIn(folder, `${name}.ipynb`, '');
  },
} satisfies HostileFile;

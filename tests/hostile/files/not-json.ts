import { handIn } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Is not JSON, though it is named like a notebook.',
  outcome: /^not a notebook$/,
  put(folder, name) {
    handIn(folder, `${name}.ipynb`, '%PDF-1.4 homework');
  },
} satisfies HostileFile;

import { handIn } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Is JSON nested a hundred thousand deep.',
  outcome: /^not a notebook$/,
  put(folder, name) {
    handIn(folder, `${name}.ipynb`, `{"cells":${'['.repeat(1e5)}${']'.repeat(1e5)}}`);
  },
} satisfies HostileFile;

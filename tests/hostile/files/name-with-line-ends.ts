import { handIn } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has line ends and marks that turn the direction of writing in its name.',
  outcome: /^not a notebook$/,
  put(folder, name) {
    handIn(folder, `${name}.\n\u202e1001,marked\u001b[2J.ipynb`, 'x');
  },
} satisfies HostileFile;

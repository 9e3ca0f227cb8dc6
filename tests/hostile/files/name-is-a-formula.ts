import { handIn } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has a name that a spreadsheet would run.',
  outcome: /^not a notebook$/,
  put(folder, name) {
    handIn(folder, `=HYPERLINK("x"),${name}.ipynb`, 'x');
  },
} satisfies HostileFile;

import { handIn } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Is JSON, but no notebook.',
  outcome: /^not a notebook$/,
  put(folder, name, student) {
    handIn(folder, `${name}.ipynb`, JSON.stringify({ marks: 21, student }));
  },
} satisfies HostileFile;

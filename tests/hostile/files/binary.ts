import { handIn } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Is bytes of nothing in particular.',
  outcome: /^not a notebook$/,
  put(folder, name) {
    const bytes = Uint8Array.from({ length: 5000 }, (_, i) => (i * 131) % 251);
    handIn(folder, `${name}.ipynb`, bytes);
  },
} satisfies HostileFile;

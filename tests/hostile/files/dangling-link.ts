import { symlinkSync } from 'node:fs';
import { join } from 'node:path';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Is a link that leads nowhere.',
  outcome: /^cannot be read$/,
  put(folder, name) {
    symlinkSync('/nowhere/at/all', join(folder, `${name}.ipynb`));
  },
} satisfies HostileFile;

import { symlinkSync } from 'node:fs';
import { join } from 'node:path';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Is a link that leads to itself.',
  outcome: /^cannot be read$/,
  put(folder, name) {
    symlinkSync(`${name}.ipynb`, join(folder, `${name}.ipynb`));
  },
} satisfies HostileFile;

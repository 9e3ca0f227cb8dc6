import { symlinkSync } from 'node:fs';
import { join } from 'node:path';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Is a link to the instructor’s folder.',
  outcome: /^cannot be read$/,
  put(folder, name) {
    symlinkSync('..', join(folder, name));
  },
} satisfies HostileFile;

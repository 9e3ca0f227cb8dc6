import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Is a pipe that never ends.',
  outcome: /^cannot be read$/,
  put(folder, name) {
    spawnSync('mkfifo', [join(folder, `${name}.ipynb`)]);
  },
} satisfies HostileFile;

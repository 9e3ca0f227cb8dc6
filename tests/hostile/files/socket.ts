import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Is a socket that a program left behind.',
  outcome: /^cannot be read$/,
  put(folder, name) {
    const listen =
      "require('net').createServer().listen(process.argv[1], () => process.kill(process.pid, 'SIGKILL'))";
    spawnSync(process.execPath, ['-e', listen, join(folder, name)]);
  },
} satisfies HostileFile;

import { mkdirSync, writeFileSync } from 'node:fs';
import { writeNotebook } from '../../../kernel-lib/notebook/write-notebook';
import { modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has a name that is not UTF-8.',
  outcome: /^marked$/,
  earns: 'all',
  put(folder, name, student) {
    mkdirSync(`${folder}/${name}`, { recursive: true });
    const path = Buffer.concat([
      Buffer.from(`${folder}/${name}/`),
      Buffer.from([0xdc, 0xe9, 0x2e]),
    ]);
    writeFileSync(path, writeNotebook(modelReturn(oneSlit, student)));
  },
} satisfies HostileFile;

import { utimesSync } from 'node:fs';
import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Was saved on a computer whose clock is fifty years ahead.',
  outcome: /^marked$/,
  earns: 'all',
  remark: /It lies in the future: 2065-01-24/,
  put(folder, name, student) {
    const path = handIn(folder, `${name}.ipynb`, modelReturn(oneSlit, student));
    utimesSync(path, 3e9, 3e9);
  },
} satisfies HostileFile;

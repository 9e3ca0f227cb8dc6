import { utimesSync } from 'node:fs';
import { handIn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Hands in a blank sheet in a class-mate’s name, later than that one did.',
  outcome: /^earlier return$/,
  put(folder, name, student) {
    const path = handIn(folder, `${student} ${name}.ipynb`, returnOf(oneSlit, '1001'));
    utimesSync(path, 4e9, 4e9);
  },
} satisfies HostileFile;

import { strToU8, zipSync } from 'fflate';
import { writeNotebook } from '../../../kernel-lib/notebook/write-notebook';
import { handIn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Packs its notebook with a stamp of long before the deadline.',
  outcome: /^marked$/,
  remark: /,file,1,/,
  put(folder, name, student) {
    const notebook = strToU8(writeNotebook(returnOf(oneSlit, student)));
    const mtime = new Date(1999, 0, 1);
    handIn(folder, `${name}.zip`, zipSync({ 'a.ipynb': [notebook, { mtime }] }));
  },
} satisfies HostileFile;

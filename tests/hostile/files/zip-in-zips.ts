import { strToU8, zipSync } from 'fflate';
import { writeNotebook } from '../../../kernel-lib/notebook/write-notebook';
import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Is a zip in a zip in a zip, and so on.',
  outcome: /^cannot be read$/,
  put(folder, name, student) {
    let zip = zipSync({ 'x.ipynb': strToU8(writeNotebook(modelReturn(oneSlit, student))) });
    for (let i = 0; i < 9; i++) zip = zipSync({ 'inner.zip': zip });
    handIn(folder, `${name}.zip`, zip);
  },
} satisfies HostileFile;

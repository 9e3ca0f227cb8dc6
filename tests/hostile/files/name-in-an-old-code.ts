import { writeNotebook } from '../../../kernel-lib/notebook/write-notebook';
import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';
import { zipOf } from '../zip-of';

export default {
  tells: 'Is a zip whose file has a name in the code of the first PCs.',
  outcome: /^marked$/,
  earns: 'all',
  put(folder, name, student) {
    const content = writeNotebook(modelReturn(oneSlit, student));
    const entry = { name: Uint8Array.from([0x9a, 0x62, 0x75, 0x6e, 0x67]), content };
    handIn(folder, `${name}.zip`, zipOf([entry]));
  },
} satisfies HostileFile;

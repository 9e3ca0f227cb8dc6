import { writeNotebook } from '../../../kernel-lib/notebook/write-notebook';
import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';
import { zipOf } from '../zip-of';

export default {
  tells: 'Is a zip whose file is called __proto__.',
  outcome: /^marked$/,
  earns: 'all',
  put(folder, name, student) {
    const content = writeNotebook(modelReturn(oneSlit, student));
    handIn(folder, `${name}.zip`, zipOf([{ name: '__proto__', content }]));
  },
} satisfies HostileFile;

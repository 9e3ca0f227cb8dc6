import { writeNotebook } from '../../../kernel-lib/notebook/write-notebook';
import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';
import { zipOf } from '../zip-of';

export default {
  tells: 'Is a zip whose file is larger than it says.',
  outcome: /^cannot be read$/,
  put(folder, name, student) {
    const content = writeNotebook(modelReturn(oneSlit, student));
    handIn(folder, `${name}.zip`, zipOf([{ name: 'a.ipynb', content, size: 10 }]));
  },
} satisfies HostileFile;

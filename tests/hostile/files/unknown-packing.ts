import { writeNotebook } from '../../../kernel-lib/notebook/write-notebook';
import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';
import { zipOf } from '../zip-of';

export default {
  tells: 'Is a zip packed in a way that hardly any program reads.',
  outcome: /^cannot be read$/,
  put(folder, name, student) {
    const content = writeNotebook(modelReturn(oneSlit, student));
    handIn(folder, `${name}.zip`, zipOf([{ name: 'a.ipynb', content, method: 97 }]));
  },
} satisfies HostileFile;

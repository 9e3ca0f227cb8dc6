import { writeNotebook } from '../../../kernel-lib/notebook/write-notebook';
import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Was cut off while it was copied.',
  outcome: /^not a notebook$/,
  put(folder, name, student) {
    const text = writeNotebook(modelReturn(oneSlit, student));
    handIn(folder, `${name}.ipynb`, text.slice(0, text.length / 2));
  },
} satisfies HostileFile;

import { writeNotebook } from '../../../kernel-lib/notebook/write-notebook';
import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';
import { zipOf } from '../zip-of';

export default {
  tells: 'Is a zip with a locked file beside the notebook.',
  outcome: /^(?:marked|cannot be read)$/,
  earns: 'all',
  put(folder, name, student) {
    const content = writeNotebook(modelReturn(oneSlit, student));
    const locked = { name: 'locked.ipynb', content, flags: 1 };
    handIn(folder, `${name}.zip`, zipOf([locked, { name: 'open.ipynb', content }]));
  },
} satisfies HostileFile;

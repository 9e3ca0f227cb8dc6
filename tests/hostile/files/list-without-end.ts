import { writeNotebook } from '../../../kernel-lib/notebook/write-notebook';
import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';
import { zipOf } from '../zip-of';

export default {
  tells: 'Is a zip that says it has 60 000 files where there is one.',
  outcome: /^(?:marked|cannot be read)$/,
  earns: 'all',
  put(folder, name, student) {
    const content = writeNotebook(modelReturn(oneSlit, student));
    const zip = zipOf([{ name: 'a.ipynb', content }], { count: 60_000 });
    handIn(folder, `${name}.zip`, zip);
  },
} satisfies HostileFile;

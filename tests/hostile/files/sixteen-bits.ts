import { writeNotebook } from '../../../kernel-lib/notebook/write-notebook';
import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Was saved in UTF-16, as some programs of Windows do.',
  outcome: /^marked$/,
  earns: 'all',
  put(folder, name, student) {
    const text = `\ufeff${writeNotebook(modelReturn(oneSlit, student))}`;
    handIn(folder, `${name}.ipynb`, Buffer.from(text, 'utf16le'));
  },
} satisfies HostileFile;

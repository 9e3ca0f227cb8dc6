import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Lies two hundred folders deep.',
  outcome: /^marked$/,
  earns: 'all',
  put(folder, name, student) {
    handIn(folder, `${name}/${'down/'.repeat(200)}sheet.ipynb`, modelReturn(oneSlit, student));
  },
} satisfies HostileFile;

import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has a name that begins with a point, as hidden files have.',
  outcome: /^marked$/,
  earns: 'all',
  put(folder, name, student) {
    handIn(folder, `${name}/.sheet.ipynb`, modelReturn(oneSlit, student));
  },
} satisfies HostileFile;

import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has a number that nobody has, but its own in the name of the file.',
  outcome: /^marked$/,
  earns: 'all',
  remark:
    /says 99887766, which nobody of the roster has.*judged with 99887766, too: no question has more/,
  put(folder, name, student) {
    handIn(folder, `${student} ${name}.ipynb`, modelReturn(oneSlit, '99887766'));
  },
} satisfies HostileFile;

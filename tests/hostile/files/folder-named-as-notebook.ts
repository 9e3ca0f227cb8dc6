import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Is a folder that is named like a notebook, with the notebook in it.',
  outcome: /^marked$/,
  earns: 'all',
  put(folder, name, student) {
    handIn(folder, `${name}.ipynb/sheet`, modelReturn(oneSlit, student));
  },
} satisfies HostileFile;

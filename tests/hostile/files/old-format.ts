import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Says that it is of another format.',
  outcome: /^not a notebook$/,
  put(folder, name, student) {
    const notebook = modelReturn(oneSlit, student);
    handIn(folder, `${name}.ipynb`, { ...notebook, nbformat: 3 });
  },
} satisfies HostileFile;

import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has two cells with the same id, so that one hides the other.',
  outcome: /^not a notebook$/,
  put(folder, name, student) {
    const notebook = modelReturn(oneSlit, student);
    handIn(folder, `${name}.ipynb`, { ...notebook, cells: [...notebook.cells, notebook.cells[4]] });
  },
} satisfies HostileFile;

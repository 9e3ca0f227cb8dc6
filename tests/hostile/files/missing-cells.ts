import { handIn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has lost most of its cells and has the others in another order.',
  outcome: /^marked$/,
  put(folder, name, student) {
    const notebook = returnOf(oneSlit, student);
    handIn(folder, `${name}.ipynb`, { ...notebook, cells: notebook.cells.slice(0, 9).reverse() });
  },
} satisfies HostileFile;

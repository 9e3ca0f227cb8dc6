import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Deletes the cell of an answer: that question says so, the others count.',
  outcome: /^marked$/,
  loses: 3,
  says: { '2.4': /^The cell for this answer is not in your notebook: it was deleted/ },
  put(folder, name, student) {
    const { cells, ...rest } = modelReturn(oneSlit, student);
    handIn(folder, `${name}.ipynb`, {
      ...rest,
      cells: cells.filter(({ id }) => id !== '2-4-work'),
    });
  },
} satisfies HostileFile;

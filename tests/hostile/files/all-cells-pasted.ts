import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has every answer in a cell of its own and none of the sheet’s: all of them count.',
  outcome: /^marked$/,
  earns: 'all',
  put(folder, name, student) {
    const { cells, ...rest } = modelReturn(oneSlit, student);
    const pasted = cells.map((cell, i) =>
      cell.id.endsWith('-work') ? { ...cell, id: `mine-${i}`, metadata: {} } : cell,
    );
    handIn(folder, `${name}.ipynb`, { ...rest, cells: pasted });
  },
} satisfies HostileFile;

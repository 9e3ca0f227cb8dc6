import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells:
    'Cuts the cell of an answer out and pastes it again, which takes its id away: it answers as before.',
  outcome: /^marked$/,
  earns: 'all',
  put(folder, name, student) {
    const { cells, ...rest } = modelReturn(oneSlit, student);
    const pasted = cells.map((cell) =>
      cell.id === '2-4-work' ? { ...cell, id: 'b3a1c2d4', metadata: {} } : cell,
    );
    handIn(folder, `${name}.ipynb`, { ...rest, cells: pasted });
  },
} satisfies HostileFile;

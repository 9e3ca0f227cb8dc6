import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Turns the cell of an answer into text: that question says so.',
  outcome: /^marked$/,
  loses: 3,
  says: { '2.4': /is a text cell in your notebook, and text does not run/ },
  put(folder, name, student) {
    const { cells, ...rest } = modelReturn(oneSlit, student);
    const turned = cells.map(({ id, source, metadata, ...cell }) =>
      id === '2-4-work'
        ? { id, source, metadata, cell_type: 'markdown' as const }
        : { id, source, metadata, ...cell },
    ) as typeof cells;
    handIn(folder, `${name}.ipynb`, { ...rest, cells: turned });
  },
} satisfies HostileFile;

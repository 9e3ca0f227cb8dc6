import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has two cells in the place of a deleted one, a try and the answer: the later one counts.',
  outcome: /^marked$/,
  earns: 'all',
  put(folder, name, student) {
    const { cells, ...rest } = modelReturn(oneSlit, student);
    const pasted = cells.flatMap((cell) =>
      cell.id === '2-4-work'
        ? [
            { ...cell, id: 'a-try', metadata: {}, source: 'const sideMaxima = [1, 2];' },
            { ...cell, id: 'the-answer', metadata: {} },
          ]
        : [cell],
    );
    handIn(folder, `${name}.ipynb`, { ...rest, cells: pasted });
  },
} satisfies HostileFile;

import { handIn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has cells of its own that check again and again with other values.',
  outcome: /^marked$/,
  put(folder, name, student) {
    const notebook = returnOf(oneSlit, student);
    const guess = `for (let i = 0; i < 2000; i++) check('2.1', 10 + i);`;
    const cell = {
      id: 'guesses',
      cell_type: 'code',
      source: guess,
      metadata: {},
      outputs: [],
      execution_count: null,
    } as const;
    handIn(folder, `${name}.ipynb`, {
      ...notebook,
      cells: [...notebook.cells, { ...cell, outputs: [] }],
    });
  },
} satisfies HostileFile;

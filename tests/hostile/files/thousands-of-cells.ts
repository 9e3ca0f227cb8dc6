import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has six thousand cells of its own, and all answers right.',
  outcome: /^marked$/,
  earns: 'all',
  put(folder, name, student) {
    const notebook = modelReturn(oneSlit, student);
    const own = Array.from({ length: 6000 }, (_, i) => ({
      id: `own-${i}`,
      cell_type: 'code' as const,
      source: `const own${i} = ${i};`,
      metadata: {},
      outputs: [],
      execution_count: null,
    }));
    const [number, setup, ...rest] = notebook.cells;
    handIn(folder, `${name}.ipynb`, { ...notebook, cells: [number, setup, ...own, ...rest] });
  },
} satisfies HostileFile;

import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has a cell of its own of two megabytes, which no question asks for.',
  outcome: /^too large$/,
  put(folder, name, student) {
    const notebook = modelReturn(oneSlit, student);
    const cell = {
      id: 'own-huge',
      cell_type: 'code' as const,
      source: `const many = [${'1,'.repeat(1e6)}];`,
      metadata: {},
      outputs: [],
      execution_count: null,
    };
    handIn(folder, `${name}.ipynb`, { ...notebook, cells: [...notebook.cells, cell] });
  },
} satisfies HostileFile;

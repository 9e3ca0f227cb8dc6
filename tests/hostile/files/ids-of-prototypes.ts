import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has cells whose ids are the names of an object’s own parts.',
  outcome: /^marked$/,
  earns: 'all',
  put(folder, name, student) {
    const notebook = modelReturn(oneSlit, student);
    const own = ['constructor', '__proto__', 'toString', 'hasOwnProperty'].map((id) => ({
      ...{ id, cell_type: 'markdown' as const, source: id, metadata: {} },
    }));
    handIn(folder, `${name}.ipynb`, { ...notebook, cells: [...own, ...notebook.cells] });
  },
} satisfies HostileFile;

import { handIn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Carries outputs that show full marks.',
  outcome: /^marked$/,
  put(folder, name, student) {
    const notebook = returnOf(oneSlit, student);
    const output = {
      output_type: 'stream',
      name: 'stdout',
      text: 'Agrees. sheet so far 21 of 21',
    } as const;
    const cells = notebook.cells.map((cell) =>
      cell.cell_type === 'code' ? { ...cell, outputs: [output], execution_count: 1 } : cell,
    );
    handIn(folder, `${name}.ipynb`, { ...notebook, cells });
  },
} satisfies HostileFile;

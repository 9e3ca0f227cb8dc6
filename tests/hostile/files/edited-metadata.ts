import { handIn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Gives every cell another role and question, and itself marks.',
  outcome: /^marked$/,
  put(folder, name, student) {
    const notebook = returnOf(oneSlit, student);
    const cells = notebook.cells.map((cell) => ({
      ...cell,
      metadata: {
        multislit: { sheet: oneSlit, role: 'answer' as const, question: '2.1' },
        marks: 21,
      },
    }));
    handIn(folder, `${name}.ipynb`, {
      ...notebook,
      metadata: { marks: 21, state: 'agrees' },
      cells,
    });
  },
} satisfies HostileFile;

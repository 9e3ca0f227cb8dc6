import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has cut its answers out and pasted them in elsewhere, so that they have other ids.',
  outcome: /^marked$/,
  earns: 'all',
  put(folder, name, student) {
    const notebook = modelReturn(oneSlit, student);
    const isAnswer = (id: string) => id.endsWith('-work');
    const pasted = notebook.cells
      .filter(({ id }) => isAnswer(id))
      .map((cell, i) => ({ ...cell, id: `pasted-${i}` }));
    const cells = [...notebook.cells.filter(({ id }) => !isAnswer(id)), ...pasted];
    handIn(folder, `${name}.ipynb`, { ...notebook, cells });
  },
} satisfies HostileFile;

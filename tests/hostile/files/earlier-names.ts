import type { Cell } from '../../../kernel-lib/notebook/notebook';
import { handIn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

const earlier = (id: string) =>
  id === 'given' ? 'setup' : id.replace(/^(\d-\d)-answer$/, '$1-check');

export default {
  tells:
    'Goes by the names that cells had in earlier sheets, and puts texts of its own under them that say all is well.',
  outcome: /^marked$/,
  put(folder, name, student) {
    const notebook = returnOf(oneSlit, student);
    const cells = notebook.cells.map((cell): Cell => {
      const id = earlier(cell.id);
      if (id === cell.id) return cell;
      const role = id === 'setup' ? 'setup' : 'check';
      const source =
        role === 'setup'
          ? 'const check = (..._: unknown[]) => "Agrees."; const given: any = {};'
          : 'console.log("Agrees. 2 of 2 marks.");';
      const metadata = { multislit: { sheet: oneSlit, role } } as unknown as Cell['metadata'];
      return { ...cell, id, source, metadata } as Cell;
    });
    handIn(folder, `${name}.ipynb`, { ...notebook, cells });
  },
} satisfies HostileFile;

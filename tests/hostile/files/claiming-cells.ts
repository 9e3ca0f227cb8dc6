import { handIn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells:
    'Has cells of its own that claim to be the answer cells and the givens, and put others in their place.',
  outcome: /^marked$/,
  put(folder, name, student) {
    const notebook = returnOf(oneSlit, student);
    const own = (id: string, role: 'answer' | 'given', source: string) => ({
      id,
      cell_type: 'code' as const,
      source,
      metadata: {
        multislit: { sheet: oneSlit, role, question: '2.1' },
        deletable: false,
        editable: false,
      },
      outputs: [],
      execution_count: null,
    });
    const replaced =
      'function check(..._: unknown[]) { return { state: "agrees", marks: 2, outOf: 2 }; }\nconst given = { width: 1, wavelength: 1 } as any;';
    handIn(folder, `${name}.ipynb`, {
      ...notebook,
      cells: [
        own('own-first', 'given', replaced),
        ...notebook.cells.slice(0, 5),
        own('own-given', 'given', replaced),
        own('own-answer', 'answer', "check('2.1', 1); check('2.2', 1);"),
        ...notebook.cells.slice(5),
      ],
    });
  },
} satisfies HostileFile;

import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has five cells of its own whose types never end, between answers that are right.',
  outcome: /^marked$/,
  earns: 'all',
  put(folder, name, student) {
    const notebook = modelReturn(oneSlit, student);
    const own = (n: number) => ({
      id: `own-${n}`,
      cell_type: 'code' as const,
      source: `type G${n}<T extends any[], N> = T['length'] extends N ? T : G${n}<[...T, T[number] | T['length']], N>;
type P${n}<A, B> = A extends any ? (B extends any ? [A, B] : never) : never;
type M${n} = G${n}<[0], 90${n}>[number];
const e${n}: P${n}<P${n}<M${n}, M${n}>, P${n}<M${n}, M${n}>> = 1 as any;`,
      metadata: {},
      outputs: [],
      execution_count: null,
    });
    const cells = notebook.cells.flatMap((cell, i) => (i > 2 && i < 8 ? [own(i), cell] : [cell]));
    handIn(folder, `${name}.ipynb`, { ...notebook, cells });
  },
} satisfies HostileFile;

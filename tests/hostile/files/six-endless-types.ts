import { handIn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

/** As in cells/endless-types.txt, each with types of its own. */
const endless = (
  n: number,
) => `type Grow${n}<T extends any[], N extends number> = T['length'] extends N ? T : Grow${n}<[...T, T[number] | T['length']], N>;
type Pairs${n}<A, B> = A extends any ? (B extends any ? [A, B] : never) : never;
type Many${n} = Grow${n}<[0], 90${n}>[number];
const endless${n}: Pairs${n}<Pairs${n}<Many${n}, Many${n}>, Pairs${n}<Many${n}, Many${n}>> = 1 as any;`;

export default {
  tells: 'Has six answers whose types never end.',
  outcome: /^marked$/,
  put(folder, name, student) {
    const ids = ['2-1-work', '2-2-work', '2-4-work', '2-5-work', '2-7-work', '2-8-work'];
    const sources = Object.fromEntries(ids.map((id, n) => [id, endless(n)]));
    handIn(folder, `${name}.ipynb`, returnOf(oneSlit, student, sources));
  },
} satisfies HostileFile;

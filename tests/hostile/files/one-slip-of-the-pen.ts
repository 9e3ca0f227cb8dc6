import { handIn, keyOf, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Forgets a bracket in one cell: its line is told, and the others count.',
  outcome: /^marked$/,
  loses: 3,
  says: { '2.4': /^Your cell does not run; the fault is in line 3: / },
  put(folder, name, student) {
    const broken = keyOf(oneSlit).model['2-4-work'].replace('1.5 * Math.PI)', '1.5 * Math.PI');
    handIn(folder, `${name}.ipynb`, modelReturn(oneSlit, student, { '2-4-work': broken }));
  },
} satisfies HostileFile;

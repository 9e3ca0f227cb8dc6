import { handIn, keyOf, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Renames what is handed in: the question names both names.',
  outcome: /^marked$/,
  loses: 3,
  says: {
    '2.4':
      /handed in as sideMaxima, and no cell declares .* declares slope, beta1, beta2, direction, mySideMaxima\.$/,
  },
  put(folder, name, student) {
    const renamed = keyOf(oneSlit).model['2-4-work'].replace('sideMaxima', 'mySideMaxima');
    handIn(folder, `${name}.ipynb`, modelReturn(oneSlit, student, { '2-4-work': renamed }));
  },
} satisfies HostileFile;

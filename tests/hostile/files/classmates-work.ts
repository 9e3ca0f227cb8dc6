import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells:
    'Hands in a class-mate’s answers under its own number: marked by its own givens, and listed as alike.',
  outcome: /^marked$/,
  put(folder, name, student) {
    const copied =
      'const theta = Math.asin(given.wavelength / given.width); const firstDarkLine = 0.6602;';
    handIn(folder, `${name}.ipynb`, modelReturn(oneSlit, student, { '2-1-work': copied }));
  },
} satisfies HostileFile;

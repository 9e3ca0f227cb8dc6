import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has a cell of a megabyte.',
  outcome: /^too large$/,
  put(folder, name, student) {
    const source = `const firstDarkLine = [${'1,'.repeat(5e5)}].length;`;
    handIn(folder, `${name}.ipynb`, modelReturn(oneSlit, student, { '2-1-work': source }));
  },
} satisfies HostileFile;

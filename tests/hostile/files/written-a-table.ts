import { handIn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Writes lines of a table of marks into its answer: they stay within the cell.',
  outcome: /^marked$/,
  put(folder, name, student) {
    const forged =
      'Wide.",,,\r\nw222222222,2.9,"x",,x,x,x,x,4,4,full marks,\r\n\ufeffcode,question\r\n"';
    handIn(folder, `${name}.ipynb`, returnOf(oneSlit, student, { '2-9-written': forged }));
  },
} satisfies HostileFile;

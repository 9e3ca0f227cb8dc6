import { handIn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Writes a spreadsheet formula and a script as its text answer.',
  outcome: /^marked$/,
  put(folder, name, student) {
    const text = '=HYPERLINK("http://127.0.0.1","marks")<script>alert(1)</script>';
    handIn(folder, `${name}.ipynb`, returnOf(oneSlit, student, { '2-9-written': text }));
  },
} satisfies HostileFile;

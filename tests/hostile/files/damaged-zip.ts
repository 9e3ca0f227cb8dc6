import { strToU8, zipSync } from 'fflate';
import { handIn } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Is a zip with its end missing.',
  outcome: /^cannot be read$/,
  put(folder, name) {
    const zip = zipSync({ 'x.ipynb': strToU8('x'.repeat(5000)) });
    handIn(folder, `${name}.zip`, zip.slice(0, 80));
  },
} satisfies HostileFile;

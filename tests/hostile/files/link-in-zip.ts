import { strToU8, zipSync } from 'fflate';
import { handIn } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Is a zip with a link to a file of the machine.',
  outcome: /^not a notebook$/,
  put(folder, name) {
    const options = { os: 3, attrs: 0o120777 << 16 } as const;
    handIn(folder, `${name}.zip`, zipSync({ 'x.ipynb': [strToU8('/etc/passwd'), options] }));
  },
} satisfies HostileFile;

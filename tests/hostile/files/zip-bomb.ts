import { zipSync } from 'fflate';
import { handIn } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Is a zip that unpacks to a thousand times its size.',
  outcome: /^cannot be read$/,
  put(folder, name) {
    const big = new Uint8Array(60 * 2 ** 20);
    handIn(folder, `${name}.zip`, zipSync({ 'a.ipynb': big, 'b.ipynb': big }));
  },
} satisfies HostileFile;

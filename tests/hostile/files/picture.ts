import { handIn } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Is a photograph that is named like a notebook.',
  outcome: /^not a notebook$/,
  remark: /It is a picture, not a notebook/,
  put(folder, name) {
    handIn(folder, `${name}.ipynb`, Uint8Array.from([0xff, 0xd8, 0xff, 0xe0, 0, 16]));
  },
} satisfies HostileFile;

import { handIn } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Gives as its format a thing that cannot even be written down.',
  outcome: /^not a notebook$/,
  put(folder, name) {
    handIn(folder, `${name}.ipynb`, '{"cells":[],"nbformat":{"toString":1,"valueOf":1}}');
  },
} satisfies HostileFile;

import { handIn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has keys that reach for prototypes.',
  outcome: /^marked$/,
  put(folder, name, student) {
    const text = JSON.stringify(returnOf(oneSlit, student));
    const keys =
      '"__proto__":{"marks":99,"polluted":true},"constructor":{"prototype":{"marks":99}},';
    handIn(folder, `${name}.ipynb`, text.replaceAll('"metadata":{', `"metadata":{${keys}`));
  },
} satisfies HostileFile;

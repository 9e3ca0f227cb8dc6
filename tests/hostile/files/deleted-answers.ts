import { handIn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has lost the cells in which it should answer.',
  outcome: /^marked$/,
  remark: /The answer cells of 2\.1, 2\.2 were deleted/,
  put(folder, name, student) {
    const notebook = returnOf(oneSlit, student);
    const cells = notebook.cells.filter(({ id }) => !/^2-[12]-work$/.test(id));
    handIn(folder, `${name}.ipynb`, { ...notebook, cells });
  },
} satisfies HostileFile;

import { strToU8, zipSync } from 'fflate';
import { writeNotebook } from '../../../kernel-lib/notebook/write-notebook';
import { handIn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Climbs out of its zip by its path.',
  outcome: /^marked$/,
  put(folder, name, student) {
    const notebook = strToU8(writeNotebook(returnOf(oneSlit, student)));
    handIn(folder, `${name}.zip`, zipSync({ '../../../touched.txt': notebook }));
  },
} satisfies HostileFile;

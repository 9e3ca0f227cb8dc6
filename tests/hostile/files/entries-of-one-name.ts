import { writeNotebook } from '../../../kernel-lib/notebook/write-notebook';
import { handIn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';
import { zipOf } from '../zip-of';

export default {
  tells: 'Is a zip with two files of one name, the second with a class-mate’s number.',
  outcome: /^(?:marked|earlier return)$/,
  put(folder, name, student) {
    const entry = (number: string) => ({
      name: 'sheet.ipynb',
      content: writeNotebook(returnOf(oneSlit, number)),
    });
    handIn(folder, `${name}.zip`, zipOf([entry(student), entry('1001')]));
  },
} satisfies HostileFile;

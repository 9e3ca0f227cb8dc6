import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Claims to be of a sheet that does not exist, with a path in its name.',
  outcome: /^wrong sheet$/,
  put(folder, name, student) {
    const notebook = modelReturn(oneSlit, student);
    const text = JSON.stringify(notebook).replaceAll(
      `"sheet":"${oneSlit}"`,
      '"sheet":"../../../etc"',
    );
    handIn(folder, `${name}.ipynb`, text);
  },
} satisfies HostileFile;

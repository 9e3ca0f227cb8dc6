import { handIn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Says that it belongs to another kernel.',
  outcome: /^marked$/,
  put(folder, name, student) {
    const notebook = returnOf(oneSlit, student);
    const metadata = {
      kernelspec: { name: 'python3', display_name: 'Python', language: 'python' },
    };
    handIn(folder, `${name}.ipynb`, { ...notebook, metadata });
  },
} satisfies HostileFile;

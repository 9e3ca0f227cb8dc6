import { strToU8, zipSync } from 'fflate';
import { handIn } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Is a small zip whose one entry has a name of 65 000 letters and holds 12 000 files.',
  outcome: /^(?:not a notebook|cannot be read)$/,
  put(folder, name) {
    const many = Array.from({ length: 12_000 }, (_, i) => [`${i}.txt`, strToU8('x')] as const);
    const inner = zipSync(Object.fromEntries(many), { level: 9 });
    handIn(folder, `${name}.zip`, zipSync({ [`${'n'.repeat(65_000)}.zip`]: inner }, { level: 9 }));
  },
} satisfies HostileFile;

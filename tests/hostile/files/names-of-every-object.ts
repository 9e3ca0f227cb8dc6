import { handIn, keyOf, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells:
    'Calls its variables as every object’s properties are called, and names a few hundred more in a comment: all counts.',
  outcome: /^marked$/,
  earns: 'all',
  put(folder, name, student) {
    const names = ['toString', 'valueOf', 'hasOwnProperty', 'constructor', 'then'];
    const odd = names.map((each) => `let ${each}x = 1, $${each} = 2.71828;`).join('\n');
    const many = `// ${Array.from({ length: 300 }, (_, i) => `const n${i} = ${i}.12345`).join(' ')}`;
    const changed = `${keyOf(oneSlit).model['2-4-work']}\n${odd}\n${many}`;
    handIn(folder, `${name}.ipynb`, modelReturn(oneSlit, student, { '2-4-work': changed }));
  },
} satisfies HostileFile;

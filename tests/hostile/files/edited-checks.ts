import { handIn, keyOf, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has answer cells that say other things, and givens that declare all well.',
  outcome: /^marked$/,
  put(folder, name, student) {
    const own: Record<string, string> = {
      given: 'const check = (..._: unknown[]) => "Agrees."; const given: any = {};',
    };
    for (const { id } of keyOf(oneSlit).sheet.questions)
      own[`${id.replace('.', '-')}-answer`] = 'console.log("Agrees. 2 of 2 marks.");';
    handIn(folder, `${name}.ipynb`, returnOf(oneSlit, student, own));
  },
} satisfies HostileFile;

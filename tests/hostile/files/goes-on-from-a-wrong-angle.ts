import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Goes on rightly from a wrong angle: the band earns one of its two marks.',
  outcome: /^marked$/,
  loses: 3,
  says: { '2.2': /is right for your own answer to 2\.1, which is not right itself/ },
  put(folder, name, student) {
    const wrong = {
      '2-1-work': 'const theta = 0.02;\nconst firstDarkLine = theta / degrees(1);',
      '2-2-work': 'const bandWidth = 2 * given.focalLength * Math.tan(0.02) / mm(1);',
    };
    handIn(folder, `${name}.ipynb`, modelReturn(oneSlit, student, wrong));
  },
} satisfies HostileFile;

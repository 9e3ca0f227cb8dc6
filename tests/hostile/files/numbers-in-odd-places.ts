import { handIn, keyOf, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Answers rightly, with numbers in enums, decorators and types before those that count.',
  outcome: /^marked$/,
  earns: 'all',
  put(folder, name, student) {
    const before = `const noted: Record<string, number> = {};
const half = (value: number) => (_: any, name: string) => { noted[name] = value / 2; };
enum Step { one = 1.5, two, three = one * 3.25 }
class Parts { @half(0.5) small() { return 4.75; } @half(2.5) large() { return 5.25; } plain: 7.75 | 8.25 = 8.25; static [2.75] = 3.25; }
const parts = new Parts();
const found = [noted.small, parts.small(), noted.large, parts.large(), parts.plain, Step.two, Step.three, (Parts as any)[2.75]].join();
const whole = found === '0.25,4.75,1.25,5.25,8.25,2.5,4.875,3.25' ? 1.0 : 9.5;
`;
    const { model } = keyOf(oneSlit);
    const answer = `${before}${model['2-1-work']}`.replace(
      /(firstDarkLine = )([^;]*);/,
      '$1whole * ($2);',
    );
    handIn(folder, `${name}.ipynb`, modelReturn(oneSlit, student, { '2-1-work': answer }));
  },
} satisfies HostileFile;

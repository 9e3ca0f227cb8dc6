import { handIn, keyOf, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Answers rightly, with numbers in enums, decorators and types before those that count.',
  outcome: /^marked$/,
  earns: 'all',
  put(folder, name, student) {
    const before = `const half = (value: number) => (target: any, key: string) => { Object.defineProperty(target, key, { value: value / 2, writable: true }); };
enum Step { one = 1.5, two, three = one * 3.25 }
class Parts { @half(0.5) small!: number; @half(2.5) large!: number; plain: 7.75 | 8.25 = 8.25; static [2.75] = 3.25; }
const parts = new Parts();
const whole = parts.small === 0.25 && parts.large === 1.25 && parts.plain === 8.25 && Step.two === 2.5 && Step.three === 4.875 && (Parts as any)[2.75] === 3.25 ? 1.0 : 9.5;
`;
    const { model } = keyOf(oneSlit);
    const answer = `${before}${model['2-1-work']}`.replace(
      /(firstDarkLine = )([^;]*);/,
      '$1whole * ($2);',
    );
    handIn(folder, `${name}.ipynb`, modelReturn(oneSlit, student, { '2-1-work': answer }));
  },
} satisfies HostileFile;

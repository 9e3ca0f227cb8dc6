import { keyOf, modelReturn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile, HostileFiles } from '../hostile-file';

type Sources = Readonly<Record<string, string>>;
const modelOf = (cell: string) => keyOf(oneSlit).model[cell];

/** All answers right, but for these cells. */
const right = (tells: string, rest: Partial<HostileFile>, sources: () => Sources): HostileFile => ({
  tells,
  what: (student) => modelReturn(oneSlit, student, sources()),
  ...rest,
});

/** Nothing answered, but for these cells. */
const blank = (tells: string, sources: () => Sources): HostileFile => ({
  tells,
  what: (student) => returnOf(oneSlit, student, sources()),
});

const wrong = (first: string, band: string) => () => ({
  '2-1-work': `const firstDarkLine: any = ${first};`,
  '2-2-work': `const bandWidth: any = ${band};`,
});

/** Types that grow as long as one lets them, under names of their own. */
export const endlessTypes = (n: number) => `type Grow${n}<T extends any[], N extends number> =
  T['length'] extends N ? T : Grow${n}<[...T, T[number] | T['length']], N>;
type Pairs${n}<A, B> = A extends any ? (B extends any ? [A, B] : never) : never;
type Many${n} = Grow${n}<[0], 90${n}>[number];
const endless${n}: Pairs${n}<Pairs${n}<Many${n}, Many${n}>, Pairs${n}<Many${n}, Many${n}>> = 1 as any;`;

export const answers: HostileFiles = {
  'classmates-work': right(
    'Hands in a class-mate’s answers under its own number: marked by its own givens, and listed as alike.',
    {},
    () => ({
      '2-1-work':
        'const theta = Math.asin(given.wavelength / given.width); const firstDarkLine = 0.6602;',
    }),
  ),
  'follows-from-zero': right(
    'Hands in 0 twice, since 0 would follow from 0: neither counts.',
    { loses: 4 },
    wrong('0', '0'),
  ),
  'follows-from-infinity': right(
    'Hands in values without end, from which anything might follow: neither counts.',
    { loses: 4 },
    wrong('Infinity', 'Infinity'),
  ),
  'follows-from-anything': right(
    'Hands in an uncertainty within which every value lies: neither counts.',
    { loses: 4 },
    wrong('{ value: 1, u: 1e300 }', '{ value: 1, u: 1e300 }'),
  ),
  'follows-from-a-list': right(
    'Hands in a list where a number is asked for, with what would follow from its first: neither counts.',
    { loses: 4 },
    wrong('[1]', '2000 * given.focalLength * Math.tan(degrees(1))'),
  ),
  'goes-on-from-a-wrong-angle': right(
    'Goes on rightly from a wrong angle: the band earns one of its two marks.',
    {
      loses: 3,
      says: { '2.2': /is right for your own answer to 2\.1, which is not right itself/ },
    },
    () => ({
      '2-1-work': 'const theta = 0.02;\nconst firstDarkLine = theta / degrees(1);',
      '2-2-work': 'const bandWidth = 2 * given.focalLength * Math.tan(0.02) / mm(1);',
    }),
  ),
  'one-slip-of-the-pen': right(
    'Forgets a bracket in one cell: its line is told, and the others count.',
    { loses: 3, says: { '2.4': /^Your cell does not run; the fault is in line 3: / } },
    () => ({ '2-4-work': modelOf('2-4-work').replace('1.5 * Math.PI)', '1.5 * Math.PI') }),
  ),
  'renamed-variable': right(
    'Renames what is handed in: the question names both names.',
    {
      loses: 3,
      says: {
        '2.4':
          /handed in as sideMaxima, and no cell declares .* declares slope, beta1, beta2, direction, mySideMaxima\.$/,
      },
    },
    () => ({ '2-4-work': modelOf('2-4-work').replace('sideMaxima', 'mySideMaxima') }),
  ),
  'names-of-every-object': right(
    'Calls its variables as every object’s properties are called, and names a few hundred more in a comment: all counts.',
    { earns: 'all' },
    () => {
      const names = ['toString', 'valueOf', 'hasOwnProperty', 'constructor', 'then'];
      const odd = names.map((each) => `let ${each}x = 1, $${each} = 2.71828;`).join('\n');
      const many = `// ${Array.from({ length: 300 }, (_, i) => `const n${i} = ${i}.12345`).join(' ')}`;
      return { '2-4-work': `${modelOf('2-4-work')}\n${odd}\n${many}` };
    },
  ),
  'numbers-in-odd-places': right(
    'Answers rightly, with numbers in enums, decorators and types before those that count.',
    { earns: 'all' },
    () => {
      const before = `const noted: Record<string, number> = {};
const half = (value: number) => (_: any, name: string) => { noted[name] = value / 2; };
enum Step { one = 1.5, two, three = one * 3.25 }
class Parts { @half(0.5) small() { return 4.75; } @half(2.5) large() { return 5.25; } plain: 7.75 | 8.25 = 8.25; static [2.75] = 3.25; }
const parts = new Parts();
const found = [noted.small, parts.small(), noted.large, parts.large(), parts.plain, Step.two, Step.three, (Parts as any)[2.75]].join();
const whole = found === '0.25,4.75,1.25,5.25,8.25,2.5,4.875,3.25' ? 1.0 : 9.5;
`;
      const answer = modelOf('2-1-work').replace(/(firstDarkLine = )([^;]*);/, '$1whole * ($2);');
      return { '2-1-work': before + answer };
    },
  ),
  'huge-cell': right('Has a cell of a megabyte.', { outcome: /^too large$/ }, () => ({
    '2-1-work': `const firstDarkLine = [${'1,'.repeat(5e5)}].length;`,
  })),
  'edited-checks': blank(
    'Has answer cells that say other things, and givens that declare all well.',
    () => {
      const { questions } = keyOf(oneSlit).sheet;
      const checks = questions.map(({ id }) => [
        `${id.replace('.', '-')}-answer`,
        'console.log("Agrees. 2 of 2 marks.");',
      ]);
      const given = 'const check = (..._: unknown[]) => "Agrees."; const given: any = {};';
      return { given, ...Object.fromEntries(checks) };
    },
  ),
  'six-endless-types': blank('Has six answers whose types never end.', () => {
    const ids = ['2-1-work', '2-2-work', '2-4-work', '2-5-work', '2-7-work', '2-8-work'];
    return Object.fromEntries(ids.map((id, n) => [id, endlessTypes(n)]));
  }),
  'written-a-table': blank(
    'Writes lines of a table of marks into its answer: they stay within the cell.',
    () => ({
      '2-9-written':
        'Wide.",,,\r\nw222222222,2.9,"x",,x,x,x,x,4,4,full marks,\r\n\ufeffcode,question\r\n"',
    }),
  ),
  'written-formula': blank('Writes a spreadsheet formula and a script as its text answer.', () => ({
    '2-9-written': '=HYPERLINK("http://127.0.0.1","marks")<script>alert(1)</script>',
  })),
};

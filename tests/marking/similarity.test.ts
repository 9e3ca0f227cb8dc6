import { describe, expect, test } from 'vitest';
import {
  digitsOf,
  type ReturnToCompare,
  similarityClusters,
} from '../../kernel-lib/marking/similarity';
import { type Random, seeded } from '../../kernel-lib/numerics/random';

const code = (...texts: string[]) => texts.map((text) => ({ text, isCode: true }));
const of = (student: string, ...texts: string[]): ReturnToCompare => ({
  student,
  parts: code(...texts),
});
const groups = (returns: readonly ReturnToCompare[], handOut: readonly string[] = []) =>
  similarityClusters(returns, code(...handOut)).map(({ students }) => students);

const pick = <T>(list: readonly T[], random: Random): T => list[random.whole(list.length)];

/** A way to write an answer that many honest people share: one of a few, with a value of their own. */
const usual = [
  (v: number) => `const theta = Math.asin(given.wavelength / given.width) * ${v} / Math.PI;`,
  (v: number) =>
    `const s = given.wavelength / given.width;\nconst angle = Math.asin(s) / degrees(1) * ${v};`,
  (v: number) => `const answer = ${v};`,
  (v: number) => `const first = (Math.asin(given.wavelength / given.width) * 180) / ${v};`,
];

/** Eight cells, each in one of the usual ways. */
const honest = (student: string): ReturnToCompare => {
  const random = seeded(`honest ${student}`);
  const cells = Array.from({ length: 8 }, (_, q) =>
    pick(
      usual,
      random,
    )(Number((random.uniform() * 10).toPrecision(4))).replaceAll('given.', `given.q${q}.`),
  );
  return of(student, ...cells);
};

/** A cell that nobody else would write. */
const peculiar = (seed: string): string => {
  const random = seeded(`peculiar ${seed}`);
  const name = () => `own${random.whole(1e6)}`;
  const number = () => (random.uniform() * 100).toFixed(3);
  const [list, each] = [name(), name()];
  return `const ${list} = [${number()}, ${number()}].map((${each}) => ${each} * ${number()} + ${number()});`;
};

const classOf = (count: number, first = 1000) =>
  Array.from({ length: count }, (_, i) => honest(String(first + i)));

describe('returns that are alike', () => {
  const odd = `const zq = (u: number) => u === 0 ? 1 : Math.sin(u) / u;
    const qq = [3, 1, 4].map((v) => zq(v * 0.37) ** 2 - 0.012).reduce((p, q) => p + q, 0);`;

  test('a copied unusual passage is found; layout and comments do not hide it', () => {
    const returns = [
      of('1001', usual[0](180), odd),
      of('1002', usual[3](3.1), `// mine\n${odd.replaceAll(' ', '  ')}`),
      of('1003', usual[1](180)),
      of('1004', usual[0](180)),
    ];
    const [found, ...others] = similarityClusters(returns, []);
    expect(found.students).toEqual(['1001', '1002']);
    expect(found.passages).toBeGreaterThan(20);
    expect(others).toEqual([]);
  });

  test('13 equal returns of 120 are one group, and nobody else is in it', () => {
    const cells = Array.from({ length: 8 }, (_, q) => peculiar(`going round ${q}`));
    const copies = Array.from({ length: 13 }, (_, i) => of(String(5000 + i), ...cells));
    const [found, ...others] = similarityClusters([...classOf(107), ...copies], []);
    expect(found.students).toEqual(copies.map(({ student }) => student));
    expect(found.names.length).toBeGreaterThan(5);
    expect(found.numbers.length).toBeGreaterThan(5);
    expect(others).toEqual([]);
  });

  test('a class of honest people who write in the usual ways has no groups', () => {
    for (const size of [8, 30, 120, 400]) expect(groups(classOf(size))).toEqual([]);
  });

  test('what the sheet gave, and what most wrote, does not count', () => {
    const returns = Array.from({ length: 30 }, (_, i) => of(String(1000 + i), odd));
    expect(groups(returns)).toEqual([]);
    expect(groups(returns.slice(0, 2), [odd])).toEqual([]);
  });

  test('half a copy is enough, and two who copied from different people are two groups', () => {
    const half = (student: string, from: string) => {
      const { parts } = honest(student);
      const copied = code(peculiar(`${from} 1`), peculiar(`${from} 2`), peculiar(`${from} 3`));
      return { student, parts: [...copied, ...parts.slice(3)] };
    };
    const returns = [...classOf(60), half('7001', 'a'), half('7002', 'b'), half('7003', 'a')];
    expect(groups([...returns, half('7004', 'b')]).sort()).toEqual([
      ['7001', '7003'],
      ['7002', '7004'],
    ]);
  });

  test('text that was copied counts as code does', () => {
    const text = (student: string, words: string): ReturnToCompare => ({
      student,
      parts: [...honest(student).parts, { text: words, isCode: false }],
    });
    const said =
      'The narrow slit spreads the beam since its edges lag behind each other by a whole wave sooner, so my band of 13 mm grows while the light grows weaker at the same time.';
    const returns = [
      ...classOf(40),
      text('7001', said),
      text('7002', `${said.toUpperCase()} I think.`),
    ];
    expect(groups(returns)).toEqual([['7001', '7002']]);
  });

  test('equal odd numbers and own names count by themselves, but not numbers that follow from what was given', () => {
    const numbers = [13.7351, 0.91827, 44.0173, 2.00718];
    const typed = (student: string, isGiven = false): ReturnToCompare => {
      const { parts } = honest(student);
      const own = numbers.map((value, i) => `const a${student}x${i} = ${value};`);
      const digits = new Set(numbers.map((value) => digitsOf(String(value))));
      return {
        student,
        parts: [...parts, ...code(...own)],
        isGiven: (one) => isGiven && digits.has(one),
      };
    };
    expect(groups([...classOf(40), typed('7001'), typed('7002')])).toEqual([['7001', '7002']]);
    expect(groups([...classOf(40), typed('7001', true), typed('7002', true)])).toEqual([]);
    const names = ['blorp', 'mySlitty', 'wobble', 'fizz', 'gnarl', 'tuesday', 'kettle', 'zebra'];
    const named = (student: string) =>
      of(student, ...names.map((name, i) => `let ${name} = ${student} + ${i};`));
    expect(groups([...classOf(40), named('7001'), named('7002')])).toEqual([['7001', '7002']]);
  });

  test('digits of a number do not depend on its unit', () => {
    expect(['0.0420', '4.2e-5', '42', '420'].map(digitsOf)).toEqual(['42', '42', '42', '42']);
  });

  test('the same returns give the same groups in any order', () => {
    const cells = [peculiar('x'), peculiar('y'), peculiar('z')];
    const returns = [
      ...classOf(50),
      of('7001', ...cells),
      of('7002', ...cells),
      of('7003', cells[0], cells[2]),
    ];
    const turned = returns.map((_, i) => returns[(17 * i) % returns.length]);
    expect(groups(turned)).toEqual(groups(returns));
    expect(groups(returns)).toHaveLength(1);
  });

  const many = process.env.MULTISLIT_MANY_RETURNS === undefined ? 3_000 : 100_000;
  test(`among ${many} answers (MULTISLIT_MANY_RETURNS: 100 000) each copied one is found with its own`, () => {
    const returns = classOf(many, 100_000);
    const copied = Array.from({ length: 12 }, (_, i) => {
      const cells = Array.from({ length: 4 }, (__, q) => peculiar(`${i} ${q}`));
      const members = Array.from({ length: 2 + 3 * i }, (__, m) => {
        const at = (7919 * (50 * i + m + 1)) % many;
        returns[at] = of(returns[at].student, ...cells);
        return returns[at].student;
      });
      return members.sort();
    });
    const found = groups(returns).map((one) => one.join());
    expect(found.sort()).toEqual(copied.map((one) => one.join()).sort());
  }, 600_000);
});

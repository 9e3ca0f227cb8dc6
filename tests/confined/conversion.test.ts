import { tmpdir } from 'node:os';
import { beforeAll, describe, expect, test } from 'vitest';
import {
  joined,
  relevant,
  returnConverter,
  widened,
  withoutNumbers,
} from '../../kernel-lib/confined/convert-return';
import { nodeConverter } from '../../kernel-lib/kernel/node-session';

describe('widened declarations', () => {
  test.each([
    ['declare const a = 0.781;', 'declare const a: number;'],
    ['declare const a = -1e-7;', 'declare const a: number;'],
    ['declare const a = 12n;', 'declare const a: bigint;'],
    ['declare const a = "p; q = 3, \\"r\\"";', 'declare const a: string;'],
    ['declare const a = true;', 'declare const a: boolean;'],
    [
      'declare const a = 1, b: number[], c = "x";',
      'declare const a: number, b: number[], c: string;',
    ],
    ['declare let a: 3;', 'declare let a: 3;'],
    ['declare function f(x: number): number;', 'declare function f(x: number): number;'],
    ['declare const f: (a?: 1) => 2;', 'declare const f: (a?: 1) => 2;'],
  ])('%s', (exact, wide) => expect(widened(exact)).toBe(wide));
});

describe('what students’ cells have in common', () => {
  const before = `declare const a: number;
declare const b: Kind, c: typeof a;
declare const d: string;
interface Kind { width: number }
import { begin, check } from 'multislit';`;

  test('a cell sees what it names, and what that names; types always', () => {
    const { seen, rest } = relevant(before, 'const x = c + 1;');
    expect(seen).toMatch(/const a: number;\ndeclare const b: Kind, c/);
    expect(seen).toMatch(/interface Kind/);
    expect(rest.map(({ text }) => text)).toEqual([
      'declare const d: string;',
      "import { begin, check } from 'multislit';",
    ]);
  });

  test('the rest comes back, but for what the cell declares anew', () => {
    const { rest } = relevant(before, 'const d = 1;');
    expect(rest).toHaveLength(3);
    expect(joined('declare const d: number;', rest)?.split('\n')).toHaveLength(4);
    expect(joined('declare const c: number;', rest)).toBeUndefined();
    expect(relevant(before, 'const x = \\u0061;').rest).toEqual([]);
  });

  test('numbers leave a cell and come back in their places', () => {
    const source =
      'const x = 0.787, n = -147, y = [12, 3.5e-7, 1e3, 5], s = "0.5", t = `a`, o = { w: 40 };';
    const plain = withoutNumbers(source);
    expect(plain.source.replace(/\d+\.\d{13}/g, 'N')).toBe(
      'const x = N, n = -N, y = [N, N, 1e3, 5], s = "0.5", t = `a`, o = { w: N };',
    );
    expect(plain.restore(plain.source)).toBe(source);
    const [first, second] = plain.source.match(/\d+\.\d{13}/g) as string[];
    expect(
      plain.restore(plain.source.replace(first, '#').replace(second, first).replace('#', second)),
    ).toBe(source.replace('0.787', '#').replace('147', '0.787').replace('#', '147'));
    expect(plain.restore(`const x = ${first};`)).toBeUndefined();
  });

  test.each([
    'const z = list[12];',
    'const z: 12 | 15 = x;',
    'if (n === 12) f(15);',
    'const z = 12n;',
    'enum Kind { a = 12 }',
    'enum Kind { a = 1.5, b = a * 2.5 }',
    'let z: 1.5 | 2.5;',
    'const o = f<{ 1.5: 2.5 }>(x);',
  ])('numbers stay where a type or a place may hang on them: %s', (source) =>
    expect(withoutNumbers(source).source).toBe(source),
  );
});

describe('converting a return', () => {
  let converter: ReturnType<typeof returnConverter>;
  beforeAll(async () => {
    converter = returnConverter(await nodeConverter(tmpdir()));
  });
  const sources = (...list: string[]) => list.map((source, i) => ({ id: `c${i}`, source }));
  const faults = async (...list: string[]) =>
    (await converter.convert(sources(...list), () => true)).flatMap((cell) =>
      'fault' in cell ? [cell.fault.message] : [],
    );

  test('code that only fits the exact types of constants still converts', async () => {
    expect(await faults('const n = 2;', 'const one: 1 | 2 = n;')).toEqual([]);
    expect(await faults("const kind = 'slit';", "const one: 'slit' = kind;")).toEqual([]);
  });

  test('names keep their values and types from cell to cell', async () => {
    const cells = ['const a = 0.5, f = (x: number) => x * 2.25;', 'const b = f(a);', 'b + 0.125'];
    const converted = await converter.convert(sources(...cells), () => true);
    const texts = converted.map((cell) => ('code' in cell ? cell.code.text : cell.fault.message));
    const variables: Record<string, unknown> = {};
    const run = (text: string) => new Function('$cells', text)(variables);
    expect(texts.map(run).at(-1)).toEqual([2.375 - 1.125]);
    expect(await faults(...cells, 'const s: string = b;')).toEqual([
      expect.stringMatching(/not assignable/),
    ]);
  });

  test('each student’s own numbers are in the code, and the types after a fault are the exact ones', async () => {
    const texts = async (width: number) => {
      const cells = sources(
        `const width = ${width};`,
        `const pair = [${width}, -0.5];`,
        'const bad: string = pair;',
        `const one: ${width} = width;`,
      );
      const converted = await converter.convert(cells, () => true);
      return converted.map((cell) => ('code' in cell ? cell.code.text : cell.fault.message));
    };
    for (const width of [147, 208]) {
      const [first, second, third, fourth] = await texts(width);
      const variables: Record<string, unknown> = {};
      for (const text of [first, second, fourth]) new Function('$cells', text)(variables);
      expect(variables).toMatchObject({ width, pair: [width, -0.5], one: width });
      expect(third).toMatch(/number\[\].*not assignable to type 'string'/);
    }
  });

  test('what is wrong is told with its line; cells after it go on', async () => {
    const [first, second, third] = await converter.convert(
      sources('const a = 1;', '\nconst b = a + c;', 'a + 1'),
      () => true,
    );
    expect([first, third].map((cell) => 'code' in cell)).toEqual([true, true]);
    expect(second).toMatchObject({ fault: { name: 'TypeScriptError', line: 2 } });
  });

  test('places in emitted code become lines of the cell', async () => {
    await converter.convert(sources('// one\n// two\nthrow new Error();'), () => true);
    const [place] = converter.places([{ id: 'c0', line: 3, column: 1 }]);
    expect(place).toEqual({ id: 'c0', line: 3 });
  });
});

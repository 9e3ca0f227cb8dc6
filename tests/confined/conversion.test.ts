import { tmpdir } from 'node:os';
import { beforeAll, describe, expect, test } from 'vitest';
import { returnConverter } from '../../kernel-lib/confined/convert-return';
import { parameters } from '../../kernel-lib/confined/run-code';
import { widened } from '../../kernel-lib/confined/widened';
import { createCellConverter } from '../../kernel-lib/kernel/converter';
import { cells } from '../../kernel-lib/kernel/live-variables';

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

describe('converting a return', () => {
  let converter: ReturnType<typeof returnConverter>;
  beforeAll(() => {
    converter = returnConverter(createCellConverter(tmpdir()));
  });
  const sources = (...list: string[]) => list.map((source, i) => ({ id: `c${i}`, source }));
  const faults = (...list: string[]) =>
    converter
      .convert(sources(...list), () => {})
      .flatMap((cell) => ('fault' in cell ? [cell.fault.message] : []));

  test('code that only fits the exact types of constants still converts', () => {
    expect(faults('const n = 2;', 'const one: 1 | 2 = n;')).toEqual([]);
    expect(faults("const kind = 'slit';", "const one: 'slit' = kind;")).toEqual([]);
  });

  test('what is wrong is told with its line; cells after it go on', () => {
    const [first, second, third] = converter.convert(
      sources('const a = 1;', '\nconst b = a + c;', 'a + 1'),
      () => {},
    );
    expect([first, third].map((cell) => 'code' in cell)).toEqual([true, true]);
    expect(second).toMatchObject({ fault: { name: 'TypeScriptError', line: 2 } });
  });

  test('places in emitted code become lines of the cell', () => {
    converter.convert(sources('// one\n// two\nthrow new Error();'), () => {});
    const [place] = converter.places([{ id: 'c0', line: 3, column: 1 }]);
    expect(place).toEqual({ id: 'c0', line: 3 });
  });

  test('emitted code finds its variables where the child keeps them', () => {
    expect(parameters.split(', ')[0]).toBe(cells);
  });
});

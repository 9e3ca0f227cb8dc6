import { describe, expect, test } from 'vitest';
import { given } from '../../kernel-lib/cells/cell-code';
import { liveVariables } from '../../kernel-lib/cells/convert/emit';
import { Dependencies, type KnownCell } from '../../kernel-lib/cells/follow';
import { seeded } from '../../kernel-lib/numerics/random';

// What must run again, by hand from what a reader of the cells would say; and against running all from the top, which
// is what a notebook's values are, for many notebooks made by chance.

/** Cells named a, b, c …, as they are after all of them have been typed. */
function cellsOf(sources: readonly string[]): KnownCell[] {
  const known = new Set<string>();
  for (const source of sources)
    for (const name of liveVariables(source, new Set()).names) known.add(name);
  return sources.map((source, n) => ({
    id: String.fromCharCode(97 + n),
    names: liveVariables(source, known),
  }));
}
const of = (...sources: string[]) => new Dependencies(cellsOf(sources));

describe('what follows a cell that has run', () => {
  test('what uses its names, what uses theirs, in the order of the sheet, and nothing else', () => {
    const sheet = of(
      'let w = 4',
      'let other = 1',
      'const area = w * w',
      'other + 1',
      'area + other',
      'w',
    );
    expect(sheet.following(['a'])).toEqual(['c', 'e', 'f']);
    expect(sheet.following(['b'])).toEqual(['d', 'e']);
    expect(sheet.following(['f'])).toEqual([]);
    expect(sheet.following(['a', 'b'])).toEqual(['c', 'd', 'e', 'f']);
  });
  test('a name that is declared again is had from the last cell above', () => {
    const sheet = of('let w = 4', 'w + 1', 'let w = 5', 'w + 2');
    expect(sheet.following(['c'])).toEqual(['d']);
    // By itself the first would leave its own value behind, which the last never saw.
    expect(sheet.following(['a'])).toEqual(['b', 'c', 'd']);
  });
  test('a value that a cell below has changed by now is had as it was', () => {
    const sheet = of('let w = 4', 'let n = 1', 'w + n', 'n = 5', 'n');
    expect(sheet.following(['a'])).toEqual(['b', 'c', 'd', 'e']);
  });
  test('a cell that uses what stands below it runs after that', () => {
    const sheet = of('let w = 4', 'area + 1', 'const area = w * w');
    expect(sheet.following(['a'])).toEqual(['c', 'b']);
  });
  test('functions carry what they use', () => {
    const sheet = of('let w = 4', 'const f = (x) => x * w', 'f(2)');
    expect(sheet.following(['a'])).toEqual(['b', 'c']);
    expect([...sheet.of('c')]).toEqual([['b', ['f']]]);
  });
  test('a variable that is changed on the way begins anew', () => {
    const sheet = of('let w = 4', 'const list = []', 'list.push(w)', 'list.length');
    expect(sheet.following(['a'])).toEqual(['b', 'c', 'd']);
    expect(sheet.changedBy('c')).toEqual(['list']);
    // Run by itself, only what comes after it is older.
    expect(sheet.following(['c'])).toEqual(['d']);
  });
  test('also one that is changed by a function of another cell', () => {
    const sheet = of(
      'let w = 4',
      'let n = 0',
      'const up = () => { n += w; }',
      'const twice = () => { up(); up(); }',
      'twice()',
      'n',
    );
    expect(sheet.changedBy('c')).toEqual([]);
    expect(sheet.changedBy('d')).toEqual([]);
    expect(sheet.changedBy('e')).toEqual(['n']);
    expect(sheet.following(['a'])).toEqual(['b', 'c', 'd', 'e', 'f']);
  });
  test('cells in a circle run once each and are told', () => {
    const sheet = of('let w = 4', 'let x = y + w', 'let y = x + 1', 'x + y');
    expect(sheet.following(['a'])).toEqual(['b', 'c', 'd']);
    expect(['a', 'b', 'c', 'd'].filter((id) => sheet.isInCircle(id))).toEqual(['b', 'c']);
    expect(sheet.following(['b'])).toEqual(['c', 'd']);
  });
  test('cells that did not run or convert are left alone', () => {
    const sheet = new Dependencies([...cellsOf(['let w = 4', 'w']), { id: 'z', names: undefined }]);
    expect(sheet.following(['a', 'z'])).toEqual(['b']);
  });
});

describe('which cells were computed from older values', () => {
  const sheet = of('let w = 4', 'const area = w * w', 'area + 1', 'let v = 1');
  const older = (...ran: string[]) => [...sheet.older(ran)];

  test('none after a run from the top', () => expect(older('a', 'b', 'c', 'd')).toEqual([]));
  test('what uses a cell that ran later, and what uses that', () => {
    expect(older('b', 'c', 'd', 'a')).toEqual([
      ['b', ['w']],
      ['c', ['area']],
    ]);
  });
  test('one that was computed from one that is older stays so', () => {
    expect(older('b', 'a', 'c')).toEqual([
      ['b', ['w']],
      ['c', ['area']],
    ]);
  });
  test('a cell that has not run is not older', () => expect(older('c', 'a')).toEqual([]));
  test('in a circle one always is', () => {
    const circle = of('let x = y', 'let y = x');
    expect([...circle.older(['a', 'b']).keys()]).toContain('a');
    expect([...circle.older(['b', 'a']).keys()]).toContain('b');
  });
});

/** Run cells in this order, with the variables that are there; what each cell shows last goes into `shown`. */
function runIn(
  variables: Record<string, unknown>,
  shown: Map<number, unknown>,
  sources: readonly string[],
  order: readonly number[],
): void {
  const names = new Set(sources.flatMap((source) => liveVariables(source, new Set()).names));
  for (const n of order) {
    const { text } = liveVariables(sources[n], names);
    const result = new Function(...given, `'use strict'; ${text}`)(variables) as
      | [unknown]
      | undefined;
    shown.set(n, structuredClone(result?.[0]));
  }
}

test('for notebooks made by chance: the same values as from the top, and rarely all cells run', () => {
  const random = seeded(20261127);
  const below = (n: number) => (n > 0 ? random.whole(n) : 0);
  let ran = 0;
  let all = 0;
  for (let round = 0; round < 120; round += 1) {
    const sources: string[] = [];
    const numbers: string[] = [];
    const lists: string[] = [];
    const functions: string[] = [];
    const pick = (some: string[], otherwise: string) => some[below(some.length)] ?? otherwise;
    for (let n = 0; n < 9; n += 1) {
      const a = pick(numbers, '3');
      const b = pick(numbers, '5');
      const list = pick(lists, '[1]');
      const f = pick(functions, 'Math.abs');
      const named = (list: string[], name: string, source: string) => {
        list.push(name);
        return source;
      };
      const kinds = [
        () => named(numbers, `n${n}`, `let n${n} = ${a} + 2 * ${b}; n${n}`),
        () => named(lists, `l${n}`, `const l${n} = [${a}, ${b}]; l${n}.length`),
        () => named(functions, `f${n}`, `const f${n} = (x) => x + ${a};`),
        () => `${f}(${a}) + ${b}`,
        () => (lists.length > 0 ? `${list}.push(${a}); ${list}.join()` : `${a}`),
        () => (numbers.length > 0 ? `${pick(numbers, 'n')} += ${b}; 0` : `${b}`),
        () =>
          lists.length > 0
            ? named(
                functions,
                `f${n}`,
                `function f${n}(x) { ${list}.push(x + ${a}); return ${list}.length; }`,
              )
            : '7',
        () => `${list}.map((x) => x * ${a}).join()`,
      ];
      sources.push(kinds[n === 0 ? 0 : below(kinds.length)]());
    }
    const changed = below(sources.length);
    const order = sources.map((_, n) => n);
    const variables = {};
    const shown = new Map<number, unknown>();
    runIn(variables, shown, sources, order);
    // As a reader would: another number in one cell, which is run by itself.
    const after = sources.with(changed, sources[changed].replace(/(?<!\w)\d+/, '11'));
    const sheet = new Dependencies(cellsOf(after));
    const text = `round ${round}, cell ${changed}\n${after.join('\n')}`;
    const follows = sheet
      .following([], [String.fromCharCode(97 + changed)])
      .map((id) => id.charCodeAt(0) - 97);
    runIn(variables, shown, after, follows);
    const top = {};
    const shownFromTop = new Map<number, unknown>();
    runIn(top, shownFromTop, after, order);
    const plain = (value: object) => JSON.stringify(Object.entries(value).sort());
    expect(plain(variables), text).toBe(plain(top));
    expect(
      order.map((n) => shown.get(n)),
      text,
    ).toEqual(order.map((n) => shownFromTop.get(n)));
    ran += follows.length;
    all += order.length;
  }
  expect(all).toBeGreaterThan(1000);
  expect(ran).toBeLessThan(0.6 * all);
});

import { describe, expect, test } from 'vitest';
import { cellNames } from '../../kernel-lib/cells/convert/cell-names';
import { emitCell } from '../../kernel-lib/cells/convert/emit';
import { parseScoped, topLevelNames } from '../../kernel-lib/cells/convert/scopes';
import { rows } from '../kernel/rows';

// What a cell has to do with variables of earlier cells, worked out by hand from ECMA-262: which binding an identifier
// means (9.1, Environment Records; 8.2, Scope Analysis; 10.2.11, defaults of parameters see no name of the body),
// and which methods of the language's own values change them (23 to 25, and 21.4 for Date).

const earlier = new Set(['w', 'v', 'f', 'list', 'o']);

function namesOf(code: string) {
  const file = parseScoped(code);
  return cellNames(file, topLevelNames(file), earlier);
}

const sorted = (names: readonly string[]) => [...names].sort().join(' ');

describe('what a cell reads', () => {
  test.each(
    rows(`
    a name that it uses ¦ w + 1 ¦ w
    not one that it declares itself ¦ const w = 1; w + v ¦ v
    not one that is declared below, for that is in scope from the top ¦ () => w; let w = 1; ¦
    not a key ¦ o.w; ({ w: 1 }).v ¦ o
    but the key that is computed ¦ o[w]; ({ [v]: 1 }) ¦ o v w
    not a shorthand that is a pattern’s key, but one that is a value ¦ const { w: x } = { v }; ¦ v
    not the name of a method ¦ class C { w() { return this.w; } get v() { return 1; } } ¦
    what a class is derived from ¦ class C extends f {} ¦ f
    what a field begins with ¦ class C { w = v; static list = w; } ¦ v w
    not a label ¦ w: for (;;) break w; ¦
    not a parameter ¦ const g = (w, { v: list }, ...o) => [w, list, o]; ¦
    a default, which sees no name of the body ¦ function g(x = w) { const w = 1; return x + w; } ¦ w
    but the parameters before it ¦ const g = (w, x = w) => x; ¦
    not a name of a block within it ¦ { const w = 1; w; } { w; let w = 2; } ¦
    but outside of it ¦ { const w = 1; w; } w; ¦ w
    not what a loop declares ¦ for (const w of list) w; ¦ list
    but what goes into it, where its own name is not yet to be had ¦ for (const x of [w]) x; ¦ w
    not what a catch is given ¦ try { f(); } catch (w) { w; } ¦ f
    not what a catch takes apart ¦ try { f(); } catch ({ w, v: [o] }) { w; o; } ¦ f
    not the name of a function within it ¦ (function w() { return w; })(); ¦
    not the name of a class within it ¦ (class w { static make() { return new w(); } }).make(); ¦
    a var of a function is of all of it ¦ function g() { w; if (v) { var w = 1; } } ¦ v
    a function of a block is of that block, since cells are strict ¦ { function w() {} w(); } w(); ¦ w
    a var of a block is the cell’s own ¦ if (v) { var w = 1; } w; ¦ v
    what typeof asks for ¦ typeof w ¦ w
    what a template holds ¦ \`\${w}\`; f\`\${v}\` ¦ f v w
    what an element’s default is ¦ const [x = w, { y = v } = {}] = []; ¦ v w
    what is spread ¦ f(...list, { ...o }) ¦ f list o
    what is imported is its own ¦ import { w as x } from 'multislit'; import * as v from 'multislit'; x; v; ¦
    what it gives another value, and takes into account ¦ w += 1; v++; list ??= []; ¦ list v w
    also in brackets ¦ (w) += 1; (v)--; ¦ v w
    not what it only gives another value ¦ w = 1; [v] = [2]; ({ list } = o); ¦ o
    what a shorthand is where nothing is there ¦ ({ w = v } = {}); ¦ v
    what a target is reached through ¦ [o.a, list[w]] = [1, 2]; ¦ list o w
    optional chains ¦ o?.w?.[v]; f?.(w) ¦ f o v w
    new.target is no name ¦ function g() { return new.target; } ¦
  `).map(([what, code, reads = '']) => [what, code, reads]),
  )('%s', (_what, code, reads) => {
    expect(sorted(namesOf(code).reads)).toBe(reads);
  });

  test.each([
    ['types say nothing', 'type T = typeof w; const x: T = v; let y: Array<typeof list>;', 'v'],
    ['an interface and a cast', 'interface w {} const x = v as unknown as w;', 'v'],
    ['an annotation of a parameter', 'const g = (x: typeof w) => x satisfies unknown;', ''],
    ['an enum is the cell’s own', 'enum w { A = 1, B = f.length } w.A;', 'f'],
    ['a type that is imported', "import type { Light as w } from 'multislit'; v;", 'v'],
  ])('%s', (_what, source, reads) => {
    expect(sorted(emitCell(source, earlier).reads)).toBe(reads);
  });
});

describe('what a cell sets', () => {
  test.each(
    rows(`
    what it declares ¦ const a = 1, { b, c: [d = 2], ...e } = {}; function g() {} class H {} ¦ H a b d e g
    a var, wherever it stands outside of functions ¦ for (var a of []) { var b; } { let c; } ¦ a b
    what it gives a value ¦ w = 1; v++; [list[0], o] = []; ({ x: f } = {}); ¦ f o v w
    what a loop goes through ¦ for (w of [1]); for (v in {}); ¦ v w
    not a name of its own that is called the same ¦ { let w; w = 1; } const g = (v) => { v = 2; }; ¦ g
    not what a function gives a value that is called later ¦ const g = () => { w = 1; }; function h() { v = 1; } ¦ g h
    what it imports ¦ import { nm as w, um } from 'multislit'; ¦ um w
  `),
  )('%s', (_what, code, sets) => {
    expect(sorted(namesOf(code).sets)).toBe(sets);
  });
});

describe('what a cell may change', () => {
  test.each(
    rows(`
    by a method that changes its array ¦ list.push(1); ¦ list
    by any of those ¦ list.sort(); o.set('a', 1); w.add(1); v.setMonth(2); f.fill(0); ¦ f list o v w
    not by one that makes another ¦ list.map(String); list.toSorted(); list.slice(); o.get('a'); ¦
    a property ¦ o.a = 1; list[0] += 2; v.n++; delete w.x; ¦ list o v w
    deep within ¦ o.a.b[0].push(1); list[w].x = v; ¦ list o
    by taking apart into it ¦ [o.a] = [1]; ({ x: list[0] } = {}); for (v.k of []); ¦ list o v
    by functions of the language ¦ Object.assign(o, { a: 1 }); Reflect.set(w, 'a', 1); Object.keys(v); ¦ o w
    not what is its own ¦ const list = []; list.push(w); ¦
    not a parameter ¦ const g = (list) => list.push(1); ¦
    in a callback, which may run now ¦ [1].forEach((x) => { w = x; list.push(x); }); ¦ list w
    in a value that is worked out now ¦ const y = [1].map((x) => list.push(x)); ¦ list
    in a static block ¦ class C { static { w = 1; } } ¦ w
    not in a function that is called later ¦ const g = () => list.push(1); function h() { w = 1; } ¦
  `).map(([what, code, changes = '']) => [what, code, changes]),
  )('%s', (_what, code, changes) => {
    expect(sorted(namesOf(code).mayChange)).toBe(changes);
  });

  test('a call of its functions is told apart, with what they call', () => {
    const { through, later, reads } = namesOf(
      'let n = 0; function up() { w += n; } const twice = () => { up(); up(); }; const half = (x) => f(x) / 2; v;',
    );
    expect(sorted(reads)).toBe('f v w');
    expect(sorted(later)).toBe('f w');
    expect(through).toEqual({
      up: { changes: ['w'], uses: ['w'] },
      twice: { changes: ['w'], uses: ['w'] },
      half: { changes: [], uses: ['f'] },
    });
  });
});

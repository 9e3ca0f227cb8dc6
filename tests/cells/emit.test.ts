import { expect, test } from 'vitest';
import { given } from '../../kernel-lib/cells/cell-code';
import { emitCell } from '../../kernel-lib/cells/convert/emit';

const earlier = new Set(['w', 'v', 'f']);

// Whether an older cell must run again hangs on these: what a cell reads of others, and what it gives them.
test.each([
  ['const a = w + 1;', ['w'], ['a']],
  ['w = 3;', [], ['w']],
  ['w += 3;', ['w'], ['w']],
  ['w++;', ['w'], ['w']],
  ['[w, v] = [v, w];', ['v', 'w'], ['v', 'w']],
  ['({ w } = { w: 5 });', [], ['w']],
  ['for (w of [1]) f();', ['f'], ['w']],
  ['const g = () => f(v);', ['f', 'v'], ['g']],
  ['const w = 2; w + v', ['v'], ['w']],
  ['function h(w: number) { return w; }', [], ['h']],
  ['({ w: 1 }).w', [], []],
  ["import { nm } from 'multislit'; type T = number; nm(v);", ['v'], ['nm']],
])('what is read and set by %s', (source, reads, sets) => {
  const code = emitCell(source, earlier);
  expect([...code.reads].sort()).toEqual(reads);
  expect([...code.sets].sort()).toEqual(sets);
});

/** How often a cell ticks. */
function ticksOf(source: string): number {
  let count = 0;
  const tick = () => {
    count += 1;
  };
  const { text } = emitCell(source, new Set(), true);
  new Function(...given, `'use strict'; ${text}`)({}, 0, 0, 0, 0, tick);
  return count;
}

// Once for every turn of a loop and every call, by what ECMA-262 says of their bodies.
test.each([
  ['for (let i = 0; i < 3; i++);', 3],
  ['for (let i = 0; i < 3; i++) { continue; }', 3],
  ['let i = 0; while (i < 4) i++;', 4],
  ['let i = 0; do i++; while (i < 2);', 2],
  ['for (const k of [1, 2]) k; for (const k in { a: 1 }) k;', 3],
  ['outer: for (;;) for (;;) break outer;', 2],
  ['const f = () => 1; f(); f();', 2],
  ['const f = () => () => ({ a: 1 }); f()();', 2],
  ["function f() { 'use strict'; return 1; } f();", 1],
  ['function* g() { yield 1; } [...g()];', 1],
  [
    'class A { #n = 1; constructor() { this.n; } get n() { return this.#n; } } class B extends A {} new B();',
    2,
  ],
  ['const o = { m(x = 1) { return x; } }; o.m();', 1],
  ['1 + 1', 0],
])('%s ticks %i times', (source, ticks) => expect(ticksOf(source)).toBe(ticks));

test('without being asked for, nothing ticks', () => {
  expect(emitCell('for (;;) { (() => 1)(); }', new Set()).text).not.toContain('$tick');
});

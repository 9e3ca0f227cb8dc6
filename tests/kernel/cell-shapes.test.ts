// biome-ignore-all lint/suspicious/noTemplateCurlyInString: sources of cells
import { describe, expect, test } from 'vitest';
import { sharedKernel } from './kernel';
import { rows } from './rows';

// What cells may look like, and names that only look like variables of other cells.

const kernel = sharedKernel();

/** Run cells in order and give the text of the last. */
async function cells(...sources: string[]): Promise<string> {
  for (const source of sources.slice(0, -1)) await kernel.text(source);
  return kernel.text(sources[sources.length - 1]);
}

describe('names that only look the same stay what they are', () => {
  test.each(
    rows(`
    a parameter ¦ const f = (w: number) => w; ¦ f(1) ¦ 1
    a local variable ¦ function f() { const w = 2; return w; } ¦ f() ¦ 2
    a variable of a block ¦ { let w = 3; var got = w; } ¦ got ¦ 3
    a loop variable ¦ let sum = 0; for (let w = 0; w < 3; w++) sum += w; ¦ sum ¦ 3
    a caught error ¦ let e1 = ""; try { throw "a"; } catch (w) { e1 = String(w); } ¦ e1 ¦ 'a'
    a property ¦ const o = { w: 4, v: { w: 5 } }; ¦ [o.w, o.v.w] ¦ [ 4, 5 ]
    a method ¦ const o2 = { w() { return 6; } }; ¦ o2.w() ¦ 6
    a class member ¦ class D { w = 7; get v() { return this.w; } } ¦ new D().v ¦ 7
    a label ¦ let l = 0; w: for (;;) { for (;;) { l = 8; break w; } } ¦ l ¦ 8
    a pattern’s key ¦ const { w: renamed } = { w: 9 }; ¦ renamed ¦ 9
    a named function expression ¦ const fac = function w(n: number): number { return n < 2 ? 1 : n * w(n - 1); }; ¦ fac(4) ¦ 24
    a local function ¦ function outer() { function w() { return 10; } return w(); } ¦ outer() ¦ 10
    a type ¦ type w2 = { w: number }; const t: w2 = { w: 11 }; ¦ t.w ¦ 11
  `),
  )('%s', async (_name, first, second, text) => {
    await kernel.text('let w = 100;');
    expect(await cells(first, second)).toBe(text);
    expect(await kernel.text('w')).toBe('100');
  });
});

describe('shapes of cells', () => {
  test.each(
    rows(`
    functions are there before their line ¦ const early = later(); function later() { return 1; } ¦ early ¦ 1
    a function keeps its name ¦ const named = () => 1; const K = class {}; ¦ [named.name, K.name] ¦ [ 'named', 'K' ]
    a function’s this is nothing ¦ function who(this: any) { return this; } ¦ String(who()) ¦ 'undefined'
    a class refers to itself ¦ class S { static made = new S(); n = 1 } ¦ S.made.n ¦ 1
    a class extends an earlier one ¦ class S2 extends S { m = 2 } ¦ [new S2().n, new S2().m] ¦ [ 1, 2 ]
    a decorator ¦ function tag(t: any) { t.tagged = true; }⏎@tag class T {} ¦ (T as any).tagged ¦ true
    overloads ¦ function o3(a: string): string; function o3(a: number): number; function o3(a: any) { return a; } ¦ o3(3) ¦ 3
    a namespace ¦ namespace N { export const x = 4; } ¦ N.x ¦ 4
    optional calls ¦ const maybe: undefined | (() => number) = undefined; ¦ String(maybe?.()) ¦ 'undefined'
    tagged templates ¦ const tagIt = (s: TemplateStringsArray, x: number) => s[0] + x; ¦ tagIt\`a\${5}\` ¦ 'a5'
    a spread ¦ const list = [1, 2]; const both = [...list, ...list]; ¦ both.length ¦ 4
    private members ¦ class P { #x = 6; get x() { return this.#x; } } ¦ new P().x ¦ 6
    for await ¦ let got2 = 0; for await (const v of (async function* () { yield 7; })()) got2 = v; ¦ got2 ¦ 7
    a wait in an expression ¦ const waited = (await Promise.resolve(3)) + (await 4); ¦ waited ¦ 7
    an awaited arrow ¦ const later2 = async () => await Promise.all([1, Promise.resolve(2)]); ¦ await later2() ¦ [ 1, 2 ]
    a comment at the end ¦ const c9 = 9; // that is all ¦ c9 /* nine */ // ok ¦ 9
    several declared without values ¦ let p1, p2: number | undefined; ¦ String(p2) ¦ 'undefined'
    an object in braces ¦ const q1 = 1, q2 = 2; ¦ ({ q1, q2 }) ¦ { q1: 1, q2: 2 }
    computed keys ¦ const key = 'k'; const made = { [key]: 1 }; const { [key]: back } = made; ¦ back ¦ 1
    names with dollars and underscores ¦ const $a = 1, _b = 2; ¦ $a + _b ¦ 3
    export is no matter ¦ export const ex = 5; export default function dx() {} export { ex }; ¦ ex ¦ 5
  `),
  )('%s', async (_name, first, second, text) => {
    expect(await cells(first, second)).toBe(text);
  });
});

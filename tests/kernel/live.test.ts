// biome-ignore-all lint/suspicious/noTemplateCurlyInString: sources of cells
import { describe, expect, test } from 'vitest';
import { sharedKernel } from './kernel';
import { rows } from './rows';

// Row 8 of the kernel's table: a function sees what a later cell makes of the variables it uses.

const kernel = sharedKernel();

/** Run cells in order and give the text of the last. */
async function cells(...sources: string[]): Promise<string> {
  for (const source of sources.slice(0, -1)) await kernel.text(source);
  return kernel.text(sources[sources.length - 1]);
}

describe('a later cell changes a variable', () => {
  test.each(
    rows(`
    by assignment ¦ let w = 1; const f = () => w * 2; ¦ w = 5; ¦ f() ¦ 10
    by declaring it again ¦ const w = 1; function f() { return w * 2; } ¦ const w = 5; ¦ f() ¦ 10
    with another type ¦ let w: any = 1; function f() { return w; } ¦ const w = 'x'; ¦ f() ¦ 'x'
    that a class uses ¦ let w = 1; class C { get() { return w; } } ¦ w = 5; ¦ new C().get() ¦ 5
    that an inner function uses ¦ let w = 1; const f = () => () => ({ w }); ¦ w = 5; ¦ f()() ¦ { w: 5 }
    that a default value uses ¦ let w = 1; const f = (x = w) => x; ¦ w = 5; ¦ f() ¦ 5
    that a template uses ¦ let w = 1; const f = () => \`\${w} µm\`; ¦ w = 5; ¦ f() ¦ '5 µm'
    that a generator uses ¦ let w = 1; function* f() { yield w; } ¦ w = 5; ¦ [...f()] ¦ [ 5 ]
    that an async function uses ¦ let w = 1; async function f() { await 0; return w; } ¦ w = 5; ¦ await f() ¦ 5
    from a pattern ¦ const { w, v: [u] } = { w: 1, v: [2] }; const f = () => [w, u]; ¦ const w = 5, u = 6; ¦ f() ¦ [ 5, 6 ]
    with a rest ¦ const [w, ...r] = [1, 2, 3]; const f = () => [w, r]; ¦ const r = [9]; ¦ f() ¦ [ 1, [ 9 ] ]
    that is a function ¦ function g() { return 1; } const f = () => g(); ¦ function g() { return 5; } ¦ f() ¦ 5
    that is a class ¦ class G { n = 1 } const f = () => new G().n; ¦ class G { n = 5 } ¦ f() ¦ 5
    that is imported ¦ import { sep } from 'path'; const f = () => sep; ¦ const sep = 'other'; ¦ f() ¦ 'other'
    of a loop ¦ for (var w = 0; w < 3; w++) {} const f = () => w; ¦ w = 5; ¦ f() ¦ 5
    in a block ¦ if (true) { var w = 1; } const f = () => w; ¦ w = 5; ¦ f() ¦ 5
    by swapping ¦ let w = 1, v = 2; const f = () => [w, v]; ¦ [w, v] = [v, w]; ¦ f() ¦ [ 2, 1 ]
    by a shorthand pattern ¦ let w = 1; const f = () => w; ¦ ({ w } = { w: 5 }); ¦ f() ¦ 5
    by counting ¦ let w = 1; const f = () => w; ¦ w++; w += 3; w ??= 9; ¦ f() ¦ 5
    in a loop over it ¦ let w = 1; const f = () => w; ¦ for (w of [4, 5]) {} ¦ f() ¦ 5
    in an enum ¦ enum E { A = 1 } const f = () => E.A; ¦ enum E { A = 5 } ¦ f() ¦ 5
  `),
  )('%s', async (_name, first, second, third, text) => {
    expect(await cells(first, second, third)).toBe(text);
  });

  test('and a function changes it back', async () => {
    expect(
      await cells('let count = 0; function up() { count += 1; }', 'up(); up();', 'count'),
    ).toBe('2');
  });

  test('recursion goes through the newest', async () => {
    expect(
      await cells(
        'function down(n: number): number { return n <= 0 ? 0 : down(n - 1); }',
        'const old = down; function down(n: number): number { return -1; }',
        'old(3)',
      ),
    ).toBe('-1');
  });
});

import vm from 'node:vm';
import { transformSync } from 'esbuild';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { emitCell } from '../../kernel-lib/cells/convert/emit';
import { withoutNumbers } from '../../kernel-lib/confined/convert-return';

/** As the marker does: emit the cell without its numbers, then put them back. */
function emitted(source: string): string {
  const plain = withoutNumbers(source);
  return plain.restore(emitCell(plain.source, new Set()).text) ?? emitCell(source, new Set()).text;
}

const number = fc.oneof(
  fc.integer({ min: 1, max: 9999 }).map((n) => (n / 8).toFixed(3)),
  fc.integer({ min: 0, max: 999 }).map(String),
  fc.integer({ min: 1, max: 99 }).map((n) => `${n}.5e-3`),
);

/** A statement that puts what it computes into `out`; each makes names of its own out of `n`. */
type Make = (n: number, a: string, b: string, c: string) => string;
const makes: readonly Make[] = [
  (n, a, b) => `const v${n} = ${a} - ${b}; out.push(v${n});`,
  (n, a, b, c) => `let l${n}: number[] = [${a}, -${b}, ${c}]; out.push(...l${n});`,
  (n, a, b, c) =>
    `enum E${n} { a = ${a}, b = ${b} * 2, c }\nout.push(E${n}.a, E${n}.b, E${n}.c, ${c});`,
  (n, a, b, c) => `const enum K${n} { a = ${a}, b }\nout.push(K${n}.a, K${n}.b, ${b}, ${c});`,
  (n, a, b, c) =>
    `class D${n} { @keep(${a}) first: number = ${b}; @keep(${c}) second() { return ${a}; } }\nout.push(new D${n}().first, new D${n}().second());`,
  (n, a, b, c) =>
    `@named(${a}) class N${n} { static s = ${b}; constructor(readonly p: ${c} | ${a} = ${c}) {} }\nout.push(N${n}.s, new N${n}().p, (N${n} as any).extra);`,
  (n, a, b, c) => `let t${n}: ${a} | ${b} = ${b}; out.push(t${n}, ${c});`,
  (n, a, b, c) =>
    `type T${n} = { ${a}: ${b} }[${a}]; const s${n} = ${b} as T${n}; out.push(s${n}, ${c});`,
  (n, a, b, c) =>
    `const o${n} = { ${a}: ${b}, [${c}]: ${a}, w: ${c} }; out.push(o${n}[${a}], o${n}.w, o${n}[${c}]);`,
  (n, a, b, c) =>
    `function f${n}(x = ${a}, { y = ${b} } = {}) { return x > ${c} ? x * ${b} : y; }\nout.push(f${n}(), f${n}(${c}));`,
  (n, a, b, c) =>
    `const g${n} = <T extends ${a} | number>(x: T) => \`\${x} \${${b}}\`; out.push(Number(g${n}(${c}).split(' ')[1]));`,
  (n, a, b, c) =>
    `namespace M${n} { export const m = ${a}; export enum I { z = ${b} } }\nout.push(M${n}.m, M${n}.I.z, ${c});`,
  (_, a, b, c) =>
    `switch (${a} + 0) { case ${b}: out.push(${c}); break; case ${a}: out.push(${b}); break; default: out.push(${a}); }`,
  (n, a, b, c) =>
    `class P${n} { #h = ${a}; static { out.push(${b}); } get h() { return this.#h ?? ${c}; } [${b}] = ${c}; }\nout.push(new P${n}().h, (new P${n}() as any)[${b}]);`,
  (n, a, b, c) =>
    `const c${n} = [${a}, ${b}] as const; const d${n} = { k: ${c} } satisfies { k: number }; out.push(c${n}[0], d${n}.k);`,
  (_, a, b, c) => `out.push(${a} ?? ${b}, (${a}).toString().length, [${b}, ${c}].at(1)!);`,
];

const head = `const out: number[] = [];
const keep = (value: number) => (target: any, name: string, d?: any): any => { out.push(value); return d; };
const named = (value: number) => (one: any) => { one.extra = value; };
`;
const made = fc
  .array(fc.tuple(fc.constantFrom(...makes), number, number, number), {
    minLength: 1,
    maxLength: 4,
  })
  .map((parts) => parts.map(([make, ...numbers], n) => make(n, ...numbers)).join('\n'))
  .map((body) => head + body);

function valuesOf(body: string): unknown {
  return vm.runInNewContext(`(() => { 'use strict';\n${body}\n})()`);
}

describe('numbers taken out of a cell and put back', () => {
  test('the code is the one that plain emit makes', () => {
    fc.assert(
      fc.property(made, (source) => {
        expect(emitted(source)).toBe(emitCell(source, new Set()).text);
      }),
      { seed: 1301, numRuns: Number(process.env.MULTISLIT_PROGRAMS ?? 120) },
    );
  });

  // Another compiler: esbuild, with the decorators that this project's cells have.
  test('the numbers are those that the program computes elsewhere', () => {
    const tsconfigRaw = {
      compilerOptions: { experimentalDecorators: true, useDefineForClassFields: true },
    };
    fc.assert(
      fc.property(made, (source) => {
        const other = transformSync(source, { loader: 'ts', target: 'es2022', tsconfigRaw }).code;
        const ours = emitted(`${source}\nout`).replace(/^/, 'const $cells = {};');
        const [values] = valuesOf(ours) as [number[]];
        expect([...values]).toEqual([...(valuesOf(`${other}\nreturn out;`) as number[])]);
      }),
      { seed: 1302, numRuns: Number(process.env.MULTISLIT_PROGRAMS ?? 80) },
    );
  });

  test('cells that differ in their numbers only are one text', () => {
    const cell = (a: number, b: number) =>
      withoutNumbers(`const width = ${a.toFixed(3)}, list = [${b.toFixed(2)}, 12];`).source;
    expect(cell(0.25, 1.5)).toBe(cell(7.75, 2.25));
  });

  test('a cell that has the digits of a stand-in is left as it is', () => {
    const { source } = withoutNumbers('const x = 0.5;');
    const odd = `${source} const y = 0.25;`;
    expect(withoutNumbers(odd).source).toBe(odd);
  });
});

import { utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { emptyFolder, startKernel, type TestKernel } from './kernel';
import { rows } from './rows';

// Cells speak the language of the Node that runs them. What Node has is asked of this very Node; what it gives back
// is what ECMA-262 says.

const folder = emptyFolder();
let kernel: TestKernel;
beforeAll(async () => {
  writeFileSync(join(folder.path, 'width.json'), '{ "width": 40 }');
  writeFileSync(
    join(folder.path, 'counter.ts'),
    'export let count = 0;\nexport function up(): void {\n  count += 1;\n}\n',
  );
  kernel = await startKernel(folder.path);
});
afterAll(async () => {
  await kernel.stop();
  folder.remove();
});

/** Whether this Node has what an expression reads. */
const has = (expression: string) =>
  new Function(`try { return ${expression} !== undefined; } catch { return false; }`)() as boolean;

describe('what this Node has, cells may use', () => {
  test.each(
    rows(`
    [].findLast ¦ [1, 2, 3].findLast((x) => x < 3) ¦ 2
    [].toSorted ¦ [3, 1, 2].toSorted((a, b) => a - b) ¦ [ 1, 2, 3 ]
    [].toReversed ¦ [1, 2].toReversed() ¦ [ 2, 1 ]
    [].toSpliced ¦ [1, 2, 3].toSpliced(0, 2, 9) ¦ [ 9, 3 ]
    [].with ¦ [1, 2].with(0, 5) ¦ [ 5, 2 ]
    new Float64Array(1).toSorted ¦ [...new Float64Array([2, 1]).toSorted()] ¦ [ 1, 2 ]
    Object.groupBy ¦ Object.groupBy([1, 2, 3], (n) => n % 2 ? 'odd' : 'even').odd ¦ [ 1, 3 ]
    Map.groupBy ¦ Map.groupBy([1, 2, 3], (n) => n % 2).get(1) ¦ [ 1, 3 ]
    Promise.withResolvers ¦ const { promise, resolve } = Promise.withResolvers<number>(); resolve(7); await promise ¦ 7
    Promise.try ¦ await Promise.try((n: number) => n + 1, 6) ¦ 7
    Array.fromAsync ¦ await Array.fromAsync([Promise.resolve(1), 2]) ¦ [ 1, 2 ]
    ''.isWellFormed ¦ 'slit'.isWellFormed() ¦ true
    new ArrayBuffer(0).transfer ¦ new ArrayBuffer(2).transfer(8).byteLength ¦ 8
    new Set().union ¦ [...new Set([1, 2]).intersection(new Set([2, 3]))] ¦ [ 2 ]
    new Set().union ¦ new Set([1]).union(new Set([2])).size ¦ 2
    Iterator.prototype.map ¦ [1, 2, 3].values().map((x) => 2 * x).filter((x) => x > 2).toArray() ¦ [ 4, 6 ]
    Iterator.prototype.map ¦ new Map([[1, 2]]).values().map((x) => x + 1).toArray() ¦ [ 3 ]
    Iterator.prototype.map ¦ (function* () { yield 1; yield 2; })().take(1).toArray() ¦ [ 1 ]
    Iterator.prototype.map ¦ Iterator.from([1, 2]).reduce((a, b) => a + b) ¦ 3
    RegExp.escape ¦ new RegExp(RegExp.escape('.')).test('a') ¦ false
    Error.isError ¦ Error.isError(new TypeError('x')) ¦ true
  `),
  )('%s: %s', async (what, code, text) => {
    if (has(what)) expect(await kernel.text(code)).toBe(text);
    // What is not there at run time is not offered by types either.
    else expect((await kernel.run(code)).reply).toMatchObject({ ename: 'TypeScriptError' });
  });

  test.each(
    rows(`
    an iterator of one’s own ¦ const own: Iterator<number> = { next: () => ({ done: true, value: 0 }) }; [...{ [Symbol.iterator]: () => own }].length ¦ 0
    an iterable iterator ¦ const it: IterableIterator<number> = new Map([[1, 2]]).keys(); [...it] ¦ [ 1 ]
    entries in a loop ¦ let sum = 0; for (const [i, x] of [5, 6].entries()) sum += i * x; sum ¦ 6
    matches ¦ [...'a1b2'.matchAll(/[0-9]/g)].map((m) => m[0]).join() ¦ '1,2'
  `),
  )('and older things go on: %s', async (_name, code, text) => {
    expect(await kernel.text(code)).toBe(text);
  });
});

describe('imports', () => {
  test.each([
    ["const fs = await import('fs'); typeof fs.readFileSync", "'function'"],
    ["fs.existsSync('.')", 'true'],
    ["const { readFileSync: read } = await import('node:fs'); read.name", "'readFileSync'"],
    ["import json from './width.json'; json.width", '40'],
    ["import typed from './width.json' with { type: 'json' }; typed.width", '40'],
    [
      "const later = await import('./width.json', { with: { type: 'json' } }); later.default.width",
      '40',
    ],
  ])('%s', async (code, text) => {
    expect(await kernel.text(code)).toBe(text);
  });

  test('the type of a module got by import() is known', async () => {
    const { reply } = await kernel.run("const os = await import('os'); os.nothingLikeIt");
    expect(reply.evalue).toContain("Property 'nothingLikeIt' does not exist");
  });

  test('a JSON file that changed is read again', async () => {
    const file = join(folder.path, 'width.json');
    writeFileSync(file, '{ "width": 50 }');
    utimesSync(file, new Date(), new Date(Date.now() + 5000));
    expect(await kernel.text("import again from './width.json'; again.width")).toBe('50');
  });

  test('are live, as ECMA-262 has it, and can be declared anew', async () => {
    expect(await kernel.text("up(); import { count, up } from './counter'; up(); count")).toBe('2');
    expect(await kernel.text('up(); count')).toBe('3');
    expect(await kernel.text('const count = 9; up(); count')).toBe('9');
  });
});

describe('what a cell has not, it is told in a sentence', () => {
  test.each([
    ['1;\n__dirname', 2, 'process.cwd()'],
    ['module.exports = 1', 1, 'known to all later cells'],
    ['exports', 1, 'known to all later cells'],
    ['import.meta.url', 1, 'import.meta'],
    ["import * as tslab from 'tslab'; tslab.display.html('x')", 1, 'show(…)'],
    ['/** @module optics */\nexport const a = 1;', 1, '.ts file beside the notebook'],
    ['/**\n * @jsx\n */\n1', 2, 'JSX'],
    ['/** @browser */ 1', 1, 'run in Node'],
  ])('%j', async (code, line, sentence) => {
    const { reply, messages } = await kernel.run(code);
    expect(reply.status).toBe('error');
    expect(reply.evalue).toContain(sentence);
    const error = messages.find(({ header }) => header.msg_type === 'error');
    expect(error?.metadata).toMatchObject({ multislit: { line } });
  });

  test('names of its own may be so called, and comments speak of what they like', async () => {
    expect(await kernel.text('const module = 4; const o = { exports: module }; o.exports')).toBe(
      '4',
    );
    expect(await kernel.text('module + 1')).toBe('5');
    expect(await kernel.text('// @module\n/* @jsx */ 3')).toBe('3');
  });
});

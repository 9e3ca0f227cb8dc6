import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { remarksOn } from '../../kernel-lib/cells/convert/words/remarks-on';
import { readRemark, readWorded } from '../../kernel-lib/cells/plain-words';
import type { Output } from '../../kernel-lib/cells/run/output';
import { wordsForThrown } from '../../kernel-lib/cells/run/words-for-thrown';
import { nodeSession } from '../../kernel-lib/kernel/node-session';
import { sourceOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { keyNamed, names } from '../worksheets/sheets';

// What a reader of a notebook finds under a cell; the sentences of the table are pinned in plain-words.test.ts.

const outputs: Output[] = [];
const session = nodeSession({ onOutput: (output) => outputs.push(output) });

async function outputsOf(source: string): Promise<readonly Output[]> {
  outputs.length = 0;
  await session.run(source);
  return [...outputs];
}

const remarksIn = (all: readonly Output[]) =>
  all.flatMap((one) => (one.type === 'display_data' ? (readRemark(one.data) ?? []) : []));

test('what runs and is not meant is shown as ever, with a remark behind it', async () => {
  const all = await outputsOf('const s = 0.5;\nconsole.log("before");\ns ^ 2');
  // ECMA-262, 13.12: both sides become whole numbers, and 0 XOR 2 is 2.
  expect(all.map(({ type }) => type)).toEqual(['stream', 'execute_result', 'display_data']);
  expect(all[1]).toMatchObject({ data: { 'text/plain': '2' } });
  const [remark] = remarksIn(all);
  expect(remark).toMatchObject({ line: 3, instead: 's ** 2' });
  // What a front end without this page shows.
  expect(all[2]).toMatchObject({
    data: { 'text/plain': expect.stringMatching(/^Remark on line 3: .*\nPerhaps: s \*\* 2$/) },
  });
});

test.each([
  ['const root = Math.sqrt(-1);', /^root has come out as NaN/],
  ['const a = Math.asin(1.2), b = 0 / 0;', /^a and b have come out as NaN/],
  ['const angles = [0.2, 0.9, 1.6].map((x) => Math.asin(x));', /^angles has come out as NaN/],
  ['0 / 0', /^The last line has come out as NaN/],
  ['const far = 1 / 0;', /^far has come out as Infinity/],
  ['const n = Math.sqrt(-1);\nn', /^n has come out as NaN/],
  ['const n = Math.sqrt(-1);\n0 / 0', /^n has come out as NaN/],
])('%s', async (source, says) => {
  expect(remarksIn(await outputsOf(source))).toMatchObject([{ says: expect.stringMatching(says) }]);
});

// A function without return gives undefined back, and Number(undefined) is NaN (ECMA-262, 10.2.1 and 7.1.4).
test.each([
  ['Number(half(3))', /^The last line has come out as NaN.*half has no return.*gives nothing back/],
  ['const p = [1, 2].map(half).map(Number);', /^p has come out as NaN.*half has no return/],
  ['const list2 = [1, 2].map(half);', /^list2 has come out without values.*half has no return/],
  ['const q = Number(twice(3));', /^q has come out as NaN.*twice has no return/],
  [
    'const own = (x: number) => {\n  const y = x / 2;\n};\nconst r = Number(own(3));',
    /^r has come out as NaN.*own has no return/,
  ],
])('of a function without return: %s', async (source, says) => {
  await outputsOf(
    'function half(x: number) {\n  const y = x / 2;\n}\nconst twice = (x: number) => {\n  2 * x;\n};',
  );
  const all = remarksIn(await outputsOf(source));
  expect(all).toMatchObject([{ says: expect.stringMatching(says) }]);
});

test.each([
  'const whole = (x: number) => {\n  return x / 2;\n};\nconst n = Math.sqrt(whole(-3));',
  'const told = (x: number) => {\n  console.log(x);\n};\ntold(1);\nconst n = Math.sqrt(-3);',
  "import { show, linePlot } from 'multislit';\nconst n = Math.sqrt(-3);",
])('not of one: %s', async (source) => {
  const all = remarksIn(await outputsOf(source));
  expect(all).toMatchObject([{ says: expect.stringMatching(/^n has come out as NaN/) }]);
  expect(all[0].says).not.toContain('no return');
});

test.each([
  'const answer = 0.594;',
  "import { blank } from 'multislit';\nconst unknown = blank;",
  'const nothingYet = NaN;',
  'const far = Infinity;',
  'const f = (x: number) => Math.sqrt(-1);',
  'const text = "NaN";',
  'const list = [1, 2, 3];',
  'const trap = { get value() { throw new Error("looked"); } };',
  'const holes = [1, , 3];',
])('nothing is remarked on %s', async (source) => {
  const all = await outputsOf(source);
  expect(all.filter(({ type }) => type === 'error')).toEqual([]);
  expect(remarksIn(all)).toEqual([]);
});

test('an error begins with plain words and where they point; what the compiler says stands below', async () => {
  const [error] = await outputsOf('const a = 1;\nconst w = Math.sin(Math.cos(a) + 1;');
  if (error.type !== 'error') throw new Error('The cell ran.');
  const lines = error.traceback.flatMap((text) => text.split('\n'));
  // The bracket that is not closed: the 19th sign of the line.
  expect(error.place).toEqual({ line: 2, column: 19 });
  expect(error.evalue).toMatch(/not closed.*\(line 2, column 19\)$/);
  expect(lines.slice(0, 5)).toEqual([
    expect.stringMatching(/not closed/),
    'line 2, column 19',
    '2 | const w = Math.sin(Math.cos(a) + 1;',
    '                      ^',
    'Perhaps: const w = Math.sin(Math.cos(a) + 1);',
  ]);
  const read = readWorded(error.traceback);
  expect(read?.instead).toBe('const w = Math.sin(Math.cos(a) + 1);');
  // The compiler's own sentence, by its list of messages (1005).
  expect(read?.other).toContain("SyntaxError: ')' expected.");
});

// V8's messages come about here; those of SpiderMonkey and JavaScriptCore further down are from memory.
test.each([
  ['const anything: any = 3;\nanything(2);', 2, /call a function, and “anything” is none.*\*/],
  [
    'const list = [1, 2];\nconst none: any = list[5];\nnone.value;',
    3,
    /“value” of something .* has no value/,
  ],
  ['const nothing: any = undefined;\nnothing[0];', 2, /^Place 0 of a list/],
  [
    'const one = 1;\neval("1");\nconst f = (n: number): number => f(n);\nf(1);',
    3,
    /calls itself without an end/,
  ],
  [
    'const pair: any = 5;\nconst [a, b] = pair;',
    2,
    /A list is needed here.*(“pair”|number 5) is none/,
  ],
])('while it runs: %s', async (source, line, says) => {
  const error = (await outputsOf(source)).find(({ type }) => type === 'error');
  if (error?.type !== 'error') throw new Error('it ran');
  const read = readWorded(error.traceback);
  expect(read).toMatchObject({ says: expect.stringMatching(says), from: 'engine' });
  expect(error.place?.line).toBe(line);
  // The engine's own text stays, folded and as the error's value.
  expect(read?.other).toContain(`${error.ename}: ${error.evalue}`);
});

test.each([
  ['TypeError', 'can\'t access property "value", none is undefined', /“value” of something/],
  ['TypeError', "undefined is not an object (evaluating 'none.value')", /“value” of something/],
  ['TypeError', "undefined is not an object (evaluating 'none[0]')", /^Place 0 of a list/],
  ['TypeError', "three is not a function. (In 'three(2)', 'three' is 3)", /“three” is none/],
  ['TypeError', "invalid assignment to const 'width'", /“width” keeps its value/],
  ['TypeError', 'Attempted to assign to readonly property.', /keeps its value/],
  ['TypeError', 'Assignment to constant variable.', /keeps its value/],
  ['ReferenceError', "Can't find variable: late", /Nothing is called “late”/],
  [
    'ReferenceError',
    "can't access lexical declaration 'late' before initialization",
    /“late” is used/,
  ],
])('as other engines say it: %s: %s', (ename, evalue, says) => {
  expect(wordsForThrown({ ename, evalue })).toMatch(says);
});

test.each([
  ["throw new TypeError('give a length in metres');"],
  ["import { um } from 'multislit';\num('x' as any);"],
])('what a library says stays as it is: %s', async (source) => {
  const error = (await outputsOf(source)).find(({ type }) => type === 'error');
  expect(error?.type === 'error' && readWorded(error.traceback)).toBeUndefined();
});

test('a word without its quotes, where an answer is one', async () => {
  const [error] = await outputsOf('const element = sodium; // a word in quotes');
  expect(error).toMatchObject({ evalue: expect.stringContaining("in quotes: 'sodium'") });
});

test('an error that no entry knows is as the compiler has it', async () => {
  const [error] = await outputsOf('const a = 1;\nconst b: string = a;');
  expect(error).toMatchObject({
    type: 'error',
    evalue: "Type 'number' is not assignable to type 'string'. (line 2, column 7)",
  });
  if (error.type === 'error') expect(readWorded(error.traceback)).toBeUndefined();
});

test('a sheet as it is handed out runs without a remark', async () => {
  const { cells } = JSON.parse(readFileSync('worksheets/03-two-slits/sheet.ipynb', 'utf8'));
  const mine: Output[] = [];
  const one = nodeSession({ onOutput: (output) => mine.push(output) });
  for (const { cell_type, source } of cells)
    if (cell_type === 'code') await one.run([source].flat().join(''));
  one.close();
  expect(mine.filter(({ type }) => type === 'error')).toEqual([]);
  expect(remarksIn(mine)).toEqual([]);
});

test.each(names)('nothing is to be remarked on %s, nor on its model answers', async (name) => {
  const { cells } = readNotebook(readFileSync(`worksheets/${name}/sheet.ipynb`, 'utf8'));
  const handedOut = cells.filter(({ cell_type }) => cell_type === 'code').map(sourceOf);
  const { model } = await keyNamed(name);
  const work = Object.keys(model).filter((id) => id.endsWith('-work'));
  const all = [...handedOut, ...work.map((id) => model[id])];
  expect(all.length).toBeGreaterThan(20);
  expect(all.flatMap((source) => remarksOn(source, ''))).toEqual([]);
});

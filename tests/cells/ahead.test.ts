import { mkdirSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, test, vi } from 'vitest';
import { type Ahead, aheadOf, cellsOf, type SheetAhead } from '../../kernel-lib/cells/ahead';
import type { CellConverter, Conversion } from '../../kernel-lib/cells/convert/converter';
import { runNotebook } from '../../kernel-lib/cells/run/run-notebook';
import { aheadIn } from '../../kernel-lib/kernel/ahead';
import { built } from '../../kernel-lib/kernel/home';
import { nodeRuntime } from '../../kernel-lib/kernel/node-host';
import { nodeConverter, nodeSession } from '../../kernel-lib/kernel/node-session';
import { findKey, sheetNames } from '../../kernel-lib/kernel/sheets';
import {
  codeCells,
  type Notebook,
  sourceOf,
  withSources,
  withStudentNumber,
} from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';

// What the compiler itself makes of each cell, in its place, is what every conversion made ahead is held against.

const folder = mkdtempSync(join(tmpdir(), 'ahead-'));
let plain: CellConverter;
beforeAll(async () => {
  plain = await nodeConverter(folder);
});
afterAll(() => rmSync(folder, { recursive: true }));
afterEach(() => {
  vi.unstubAllGlobals();
});

const text = (path: string) => readFileSync(built(path), 'utf8');
const made = (path: string) => JSON.parse(text(path)) as SheetAhead;
const aheadFor = (name: string) => aheadOf(made(`worksheets/${name}/ahead.json`).cells);
const blank = (name: string) => readNotebook(text(`worksheets/${name}/sheet.ipynb`));
const model = (name: string) => withSources(blank(name), findKey(name)?.model ?? {});
const sources = (notebook: Notebook) => codeCells(notebook).map(sourceOf);

/** Convert cells with the compiler, and hold what is known ahead of each against that. @returns how many were known */
async function compare(
  cells: readonly string[],
  ahead: Ahead,
  { convert }: Pick<CellConverter, 'convert'> = plain,
): Promise<number> {
  let declarations = '';
  let known = 0;
  for (const source of cells) {
    const conversion: Conversion = await convert(declarations, source);
    const found = ahead(declarations, source);
    if (found) {
      known += 1;
      expect(found, source).toEqual(conversion);
    }
    declarations = conversion.declarations;
  }
  return known;
}

describe.each(sheetNames())('%s', (name) => {
  const ahead = aheadFor(name);

  test('as it is handed out and with model answers, every cell known ahead is what the compiler makes of it', async () => {
    const cells = sources(withStudentNumber(blank(name), '204117'));
    // All but one that imports what a browser has not.
    expect(await compare(cells, ahead)).toBeGreaterThanOrEqual(cells.length - 1);
    // Answered: the number, the givens and all checks are the sheet's own.
    const own = codeCells(blank(name)).filter(({ id }) => !id.endsWith('-work'));
    const answered = sources(withStudentNumber(model(name), '73015'));
    expect(await compare(answered, ahead)).toBeGreaterThanOrEqual(own.length);
  });
});

test('code that asks whether it is to stop is known ahead for browsers', async () => {
  const [name] = sheetNames();
  const ticking = await nodeConverter(folder, { ticks: true });
  const ahead = aheadOf(made(`web/sheets/${name}-ahead.json`).cells);
  const cells = sources(blank(name));
  expect(await compare(cells, ahead, ticking)).toBe(cells.length);
  ticking.close();
});

test.each(['1234', '0012345', '9876543210'])(
  'the student number %s stands in its place',
  async (number) => {
    const cells = sources(withStudentNumber(blank('02-one-slit'), number)).slice(0, 2);
    expect(await compare(cells, aheadFor('02-one-slit'))).toBe(2);
  },
);

/** What students write between a sheet's cells: `known` where the cells behind it do not go by it. */
const written: readonly { readonly code: string; readonly known: boolean }[] = [
  { code: 'const myOwn = 12.5, other = [1, 2];', known: true },
  { code: "const pair: [number, string][] = [[1, 'a']];", known: true },
  { code: 'let record = { width: { mm: 1 }, check: true };', known: true },
  {
    code: 'function half(x: number): number;\nfunction half(x: string): string;\nfunction half(x: any) { return x; }',
    known: true,
  },
  { code: "const mixed = Math.random() > 2 ? 'a' : 3;", known: true },
  { code: 'for (var again = 0; again < 2; again += 1) {}', known: true },
  { code: 'const { a: first, ...others } = { a: 1, b: 2, c: 3 };', known: true },
  { code: "const later = import('multislit');", known: true },
  { code: "const given = { width: 1, wavelength: 'red' };", known: true },
  { code: 'const firstDarkLine = 3;\nconst Math = { sin: 1 };', known: true },
  // These change what is declared of names that the cells behind them use, or could.
  { code: 'const check = (id: string, answer: number) => answer;', known: false },
  { code: 'interface Light { name: number }', known: false },
  { code: 'type Wide = number | string;\nconst wide: Wide = 1;', known: false },
  { code: 'class Slit { width = 1; }', known: false },
  { code: 'enum Colour { red, green }', known: false },
  { code: "import type { Light } from 'multislit';", known: false },
  { code: '/** declare const given: string; */\nconst noted = 1;', known: false },
  { code: 'const template: `a$' + "{number}` = 'a1';", known: false },
  {
    // No cell can do that: the cells behind it are as they were.
    code: 'declare global { interface Array<T> { mine: T } }\nconst list = [1].mine;',
    known: true,
  },
];

test.each(written)('behind $code', async ({ code, known }) => {
  // Number, givens, the slider to play with, and the first question.
  const [number, given, , work, answer] = sources(blank('02-one-slit'));
  const ahead = aheadFor('02-one-slit');
  const all = [number, given, code, work, answer, given];
  const found = await compare(all, ahead);
  // The sheet's own cells of those; the first two stand before the change.
  if (known) expect(found).toBe(all.length - 1);
  else expect(found).toBeLessThan(all.length - 1);
});

test('cells in another order, left out or changed are what the compiler makes of them', async () => {
  const cells = sources(model('03-two-slits'));
  const originals = sources(blank('03-two-slits'));
  const ahead = aheadFor('03-two-slits');
  const [number, given, ...rest] = originals;
  await compare([...originals.slice(0, 5)].reverse(), ahead);
  await compare([number, ...rest.slice(0, 3), given, ...rest.slice(3, 6)], ahead);
  await compare([number, given.replace('const reach', 'const Reach'), ...rest.slice(-2)], ahead);
  // Run from the top a second time, where variables are there already.
  const twice = [number, given, ...cells.slice(2, 6), number, given, ...cells.slice(2, 6)];
  expect(await compare(twice, ahead)).toBe(8);
  await compare([number.replace(/'\d+'/, "'20' + '41'"), given, ...rest.slice(0, 2)], ahead);
  await compare(['let studentNumber: string | undefined;', given, ...rest.slice(0, 2)], ahead);
});

test('a sheet runs without a compiler, and what comes out is the same, errors and their lines too', async () => {
  const sheet = blank('02-one-slit');
  const none = () => Promise.reject(new Error('a compiler was asked for'));
  const run = (notebook: Notebook, more: Partial<Parameters<typeof nodeSession>[0]>) => {
    // What the sheet knows of its answers belongs to the process.
    nodeRuntime().library.names().endWork();
    return runNotebook(notebook, (onOutput) => nodeSession({ cwd: folder, onOutput, ...more }));
  };
  const ahead = aheadFor('02-one-slit');
  const numbered = withStudentNumber(sheet, '204117');
  const [with_, without] = [
    await run(numbered, { ahead, converter: none }),
    await run(numbered, { ahead: undefined, converter: plain }),
  ];
  expect(with_).toEqual(without);
  expect(with_.failed).toEqual([]);
  // A number that nobody has: the givens fail, at their own line, and what needs them after that.
  const unnumbered = withSources(sheet, { 'student-number': "const studentNumber = '12';" });
  const failing = await run(unnumbered, { ahead, converter: plain });
  expect(failing).toEqual(await run(unnumbered, { ahead: undefined, converter: plain }));
  expect(failing.failed[0]).toMatchObject({ id: 'given', error: { place: { line: 6 } } });
});

test('what another build made is not used, nor where cells find another library', () => {
  const file = text('worksheets/02-one-slit/ahead.json');
  const { build, cells } = JSON.parse(file) as SheetAhead;
  expect(cellsOf(file)).toEqual([]);
  vi.stubGlobal('multislitBuild', 'another');
  expect(cellsOf(file)).toEqual([]);
  vi.stubGlobal('multislitBuild', build);
  expect(cellsOf(file)).toEqual(cells);
  // The programs of this build go by its name.
  for (const program of ['cli.cjs', 'kernel.cjs', 'convert.cjs', 'web/runner.js'])
    expect(text(program)).toContain(build);
  const [number] = sources(blank('02-one-slit'));
  expect(aheadIn(folder)('', number)?.code).toBeDefined();
  const own = join(folder, 'own');
  mkdirSync(join(own, 'node_modules', 'multislit'), { recursive: true });
  mkdirSync(join(own, 'inner'));
  expect(aheadIn(join(own, 'inner'))('', number)).toBeUndefined();
  expect(aheadIn(built('worksheets'))('', number)).toBeUndefined();
});

test('nothing of any key is in what is made ahead', () => {
  for (const name of sheetNames())
    for (const cell of made(`worksheets/${name}/ahead.json`).cells)
      expect(sources(blank(name))).toContain(cell.source);
});

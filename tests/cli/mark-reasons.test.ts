import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, test } from 'vitest';
import type { Cell, Notebook } from '../../kernel-lib/notebook/notebook';
import { needs } from '../needs';
import { handIn, machineMarks, modelReturn, oneSlit } from './class-for-test';
import { markingStage } from './marking-stage';

const { skip } = needs('bwrap');

interface Case {
  readonly tells: string;
  readonly notebook: (student: string) => Notebook;
  /** What must be said at a question. */
  readonly said: Readonly<Record<string, RegExp>>;
  readonly marks?: Readonly<Record<string, number>>;
}

const changed =
  (changes: Readonly<Record<string, string>>) =>
  (student: string): Notebook =>
    modelReturn(oneSlit, student, changes);
const without =
  (...ids: string[]) =>
  (student: string): Notebook => {
    const notebook = modelReturn(oneSlit, student);
    return { ...notebook, cells: notebook.cells.filter(({ id }) => !ids.includes(id)) };
  };
const each = (student: string, change: (cell: Cell) => Cell[]): Notebook => {
  const notebook = modelReturn(oneSlit, student);
  return { ...notebook, cells: notebook.cells.flatMap(change) };
};
const addedCell = (id: string, source: string): Cell => ({
  id,
  cell_type: 'code',
  source,
  metadata: {},
  outputs: [],
  execution_count: null,
});

/** Everything is the model's but for what is told. */
const cases: readonly Case[] = [
  {
    tells: 'a syntax error, and a cell that needs what that one declares',
    notebook: changed({
      '2-1-work': '// mine\nconst theta = Math.asin(0.01;\nconst firstDarkLine = 0.3;',
    }),
    said: {
      '2.1': /does not run; the fault is in line 2: '[,)]'.* expected/,
      '2.2': /Cannot find name 'theta'\. theta comes from the cell of 2\.1, which does not run\./,
    },
    marks: { '2.1': 0, '2.2': 0, '2.4': 3 },
  },
  {
    tells: 'a name that is spelled wrongly',
    notebook: changed({ '2-7-work': 'const f = 1;\n\nconst unlabelledWidth = f * wavelenght;' }),
    said: { '2.7': /in line 3: Cannot find name 'wavelenght'/ },
  },
  {
    tells: 'an error while it runs',
    notebook: changed({
      '2-1-work':
        'const theta = Math.asin(given.wavelength / given.width);\nconst firstDarkLine = JSON.parse("{").value;',
    }),
    said: { '2.1': /^Your cell stops with an error in line 2: SyntaxError: .*JSON/ },
    marks: { '2.1': 0, '2.2': 2 },
  },
  {
    tells: 'a loop without end',
    notebook: changed({
      '2-5-work':
        'let shareThrough = 0;\n// while we are here\nwhile (shareThrough < 1) {\n  shareThrough -= 1;\n}',
    }),
    said: {
      '2.5': /^Your cell ran longer than 2 s and was stopped\. Look at the loop in line 3: /,
    },
    marks: { '2.5': 0, '2.7': 3 },
  },
  {
    tells: 'a function without end',
    notebook: changed({
      '2-3-work': 'function intensity(s: number): number {\n  for (;;) s += 1;\n}',
    }),
    said: {
      '2.3':
        /^Your function did not end within 2 s, so it was stopped\. Look at the loop in line 2: does it end\?$/,
    },
  },
  {
    tells:
      'a function that stops with an error, called by another cell’s, after its own cell failed',
    notebook: changed({
      '2-2-work':
        'const bandWidth = 3;\nfunction helper(s: number): number {\n  throw new Error("no way at " + s);\n}',
      '2-3-work':
        'function intensity(s: number): number {\n  return 2 * helper(s);\n}\n(null as any).odd;',
    }),
    said: {
      '2.3':
        /^At .* your function stops with an error: no way at .*\. It happens in line 3 of the cell of 2\.2\.$/,
    },
  },
  {
    tells: 'a function that stops with an error of its own',
    notebook: changed({
      '2-3-work':
        'function intensity(s: number): number {\n  const all: number[][] = [];\n  return all[3][1] * s;\n}',
    }),
    said: {
      '2.3':
        /^At .* your function stops with an error: .*undefined.*\. It happens in line 3 of your cell\.$/,
    },
  },
  {
    tells: 'an answer that cannot be looked at in time',
    notebook: changed({
      '2-7-work': 'const unlabelledWidth: any = { get value() { for (;;); }, u: 1 };',
    }),
    said: { '2.7': /^A look at your answer did not end within 2 s/ },
  },
  {
    tells: 'types without end',
    notebook: changed({
      '2-7-work':
        'type Deep<N extends number, L extends 0[] = []> = L["length"] extends N ? L : Deep<N, [...L, 0]> | Deep<N, [0, ...L]>;\ntype Wide<T> = T extends [infer A, ...infer R] ? [A, ...Wide<R>] | Wide<R> : [];\nlet many: Wide<[1,2,3,4,5,6,7,8,9,10,11,12,13,14,15,16,17,18,19,20,21,22,23,24]>;\nconst unlabelledWidth = 3;',
    }),
    // Whichever way the compiler gives up: it never says that nothing was answered.
    said: { '2.7': /too complex|take too long|excessively deep|^3\.000 µm was read/ },
  },
  {
    tells: 'a deleted cell',
    notebook: without('2-2-work', '2-9-written'),
    said: {
      '2.2': /^The cell for this answer is not in your notebook: it was deleted/,
      '2.9': /^The cell for this answer is not in your notebook: it was deleted/,
    },
  },
  {
    tells: 'a deleted cell with a function',
    notebook: without('2-3-work'),
    said: { '2.3': /^The cell for this answer is not in your notebook: it was deleted/ },
  },
  {
    tells: 'a cell that became text',
    notebook: (student) =>
      each(student, (cell) =>
        cell.id === '2-2-work'
          ? [{ id: cell.id, cell_type: 'markdown', source: cell.source, metadata: cell.metadata }]
          : [cell],
      ),
    said: { '2.2': /is a text cell in your notebook, and text does not run/ },
  },
  {
    tells: 'a cell that was cut out and pasted, which gives it another id: it answers all the same',
    notebook: (student) =>
      each(student, (cell) =>
        cell.id === '2-2-work' ? [{ ...cell, id: 'pasted', metadata: {} } as Cell] : [cell],
      ),
    said: { '2.2': /within the/ },
    marks: { '2.2': 2 },
  },
  {
    tells: 'a renamed variable',
    notebook: changed({
      '2-2-work':
        'const breadth = (2 * given.focalLength * Math.tan(theta)) / mm(1);\nlet half = breadth / 2;',
    }),
    said: {
      '2.2':
        /^The answer is handed in as bandWidth, and no cell declares that name: was it renamed\? Your cell declares breadth, half\.$/,
    },
  },
  {
    tells: 'everything given up',
    notebook: changed({
      '2-1-work': 'process.exit(0);',
      '2-2-work': 'process.exit(0);',
      '2-4-work': 'process.exit(0);',
      '2-6-work': 'process.exit(0);',
      '2-7-work': 'process.exit(0);',
    }),
    said: {
      '2.1': /^Your cell (?:stops|ended|ran)/,
      '2.2': /^Your cell (?:stops|ended|ran)/,
      '2.3': /./,
    },
  },
  {
    tells: 'another number begun at the end',
    notebook: (student) =>
      each(student, (cell) =>
        cell.id === '2-8-answer'
          ? [cell, addedCell('mine', "begin('02-one-slit', '4711');")]
          : [cell],
      ),
    said: { '2.1': /no answers at all: a cell ended it, or began another sheet or another number/ },
  },
  {
    tells: 'a function that is NaN everywhere, though something was written',
    notebook: changed({
      '2-3-work': 'function intensity(s: number): number {\n  return Math.sqrt(-1 - s * s);\n}',
    }),
    said: { '2.3': /^At 0 your function returns NaN, "not a number"\. Look at .*square roots/ },
  },
  {
    tells: 'a value that came out before its cell failed',
    notebook: changed({
      '2-1-work':
        "const theta = Math.asin(given.wavelength / given.width);\nvar firstDarkLine = 7;\nthrow new Error('later');",
    }),
    said: {
      '2.1': /^Your cell stops with an error in line 3: Error: later\. Until then: 7.* was read\./,
    },
  },
];
const studentOf = (i: number) => String(1001 + i);

/** Every answer of sheet 2 but the first, which is in radians; saved before cells had the names of today. */
const earlier = readFileSync(new URL('../notebook/earlier-names.ipynb', import.meta.url), 'utf8');

const limits = ['--jobs', '2', '--cell-seconds', '2', '--sheet-seconds', '20'];
const stage = markingStage('mark-reasons-', '--sheet', oneSlit, ...limits);
const { at, text, record } = stage;

beforeAll(async () => {
  if (skip) return;
  for (const [i, { notebook }] of cases.entries())
    handIn(at('returns'), `${studentOf(i)}.ipynb`, notebook(studentOf(i)));
  handIn(at('returns'), '204117.ipynb', earlier);
  const { code } = await stage.mark();
  expect(code).toBe(0);
});

describe.skipIf(skip)('what is said at a question', () => {
  test.each(cases.map((one, i) => [one.tells, i, one] as const))('%s', (_, i, { said, marks }) => {
    const own = new Map(record(studentOf(i)).questions.map((mark) => [mark.question, mark]));
    for (const [question, sentence] of Object.entries(said))
      expect(own.get(question)?.message).toMatch(sentence);
    for (const [question, due] of Object.entries(marks ?? {}))
      expect([question, own.get(question)?.marks]).toEqual([question, due]);
    // All else is the model's answer, or came to nothing for a reason that is told.
    for (const mark of own.values()) expect(mark.message).not.toMatch(/no answer yet/i);
    expect(text('students', `${studentOf(i)}.html`)).not.toMatch(/no answer yet/i);
  });

  test('what was stopped for its time is no error of types', () => {
    for (const [i, { tells }] of cases.entries())
      if (/without end|in time/.test(tells))
        for (const { message } of record(studentOf(i)).questions)
          expect(message).not.toMatch(/TypeScriptError|is asked for; this is/);
  });

  test('a return on a sheet that was handed out under earlier names is marked as any other', () => {
    const { questions, written } = record('204117');
    const states = questions.map(({ question, state }) => [question, state]);
    expect(states.filter(([, state]) => state !== 'agrees')).toEqual([
      ['2.1', 'not yet'],
      ['2.9', 'to be read'],
    ]);
    expect(questions[0].slip).toBe('radians');
    expect(stage.marksOf('204117')).toBe(machineMarks(oneSlit) - 2);
    expect(written['2.9']).toMatch(/^A narrower slit gives a wider band/);
  });
});

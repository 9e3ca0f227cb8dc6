import { rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { afterEach, describe, expect, test } from 'vitest';
import * as multislit from '../../kernel-lib/index';
import { nodeRuntime } from '../../kernel-lib/kernel/node-host';
import { modelRunner } from '../../kernel-lib/kernel/run-model';
import { notebookOfText } from '../../kernel-lib/notebook/sheet-text';
import { judgePlain } from '../../kernel-lib/questions/judge';
import { proveSheet } from '../../kernel-lib/questions/prove';
import type { AnyKey, AnyOpenQuestion, AnySheet } from '../../kernel-lib/questions/sheet';
import { openForms } from '../../kernel-lib/questions/sheet';
import { block, example, type Files, guide, layOut, loadFrom } from './guide-sheet';

const made: string[] = [];
function folderWith(files: Files): string {
  const folder = layOut(files);
  made.push(dirname(dirname(folder)));
  return folder;
}
afterEach(() => {
  for (const folder of made.splice(0)) rmSync(folder, { recursive: true });
});

const none = { is: 'blank' } as const;

/** Prove the sheet of these files, its model notebook run as cells of the kernel. */
async function proveWithNotebook(files: Files, students: number) {
  const folder = folderWith(files);
  const library = nodeRuntime().library.names();
  const key = await loadFrom<AnyKey>(folder, 'key.ts', library);
  const sheet = await loadFrom<AnySheet>(folder, 'sheet.ts', library);
  const find = (name: string) => (name === sheet.name ? sheet : undefined);
  library.setSheetSource(find, () => [sheet.name]);
  const original = notebookOfText(files['sheet.md'], sheet.name, sheet.questions);
  const path = join(folder, 'sheet.ipynb');
  const forms = openForms(key);
  const given = library.givensFor(sheet, '204117');
  const blank = await modelRunner(key, original, path, forms, {})('204117', given);
  const proof = await proveSheet(key, {
    students,
    runModel: modelRunner(key, original, path, forms, key.model),
  });
  const blankMarks = forms.map(
    (question) => judgePlain(question, given, blank.answers.get(question.id) ?? none).marks,
  );
  return { key, proof, blank, blankMarks };
}

/** What the tools say of the example after one change. */
async function saidAfter(file: string, from: string, to: string): Promise<string[]> {
  const files = example();
  if (!files[file].includes(from)) throw new Error(`${file} does not hold ${from}`);
  const folder = folderWith({ ...files, [file]: files[file].replace(from, to) });
  try {
    const key = await loadFrom<AnyKey>(folder, 'key.ts', multislit);
    const { failures } = await proveSheet(key, { students: 20 });
    return failures.map(({ what }) => what);
  } catch (error) {
    return [(error as Error).message];
  }
}

/** A sentence of the guide, in which … stands for anything, as a pattern. */
const pattern = (sentence: string) =>
  new RegExp(
    sentence
      .split('…')
      .map((part) => part.replace(/[.*+?^${}()|[\]\\]/g, '\\$&'))
      .join('.+'),
  );

const tellingHint = "hint: (given) => formatQuantity(2 * place(given, 1), 'mm', 4)";
const thirdSlip = /\n {6}\{\n {8}name: 'five steps'[\s\S]*?\},/.exec(example()['key.ts'])?.[0];

describe('the guide for a new sheet', () => {
  test('its example holds over 40 student numbers, its model notebook run for each', async () => {
    const { key, proof, blank, blankMarks } = await proveWithNotebook(example(), 40);
    expect(proof).toMatchObject({ sheet: '08-a-hair', students: 40, questions: 4, failures: [] });
    expect(blank.failed).toEqual([]);
    expect(blankMarks).toEqual([0, 0, 0]);
    for (const { id } of key.sheet.questions) expect(key.instructor).toContain(`| ${id}`);
  });

  test('the other kinds of question hold as well', async () => {
    const folder = folderWith({ ...example(), 'more.ts': block('08-a-hair/more.ts') });
    const key = await loadFrom<AnyKey>(folder, 'key.ts', multislit);
    const more = await loadFrom<AnyOpenQuestion[]>(folder, 'more.ts', multislit);
    const sheet = multislit.defineSheet({
      ...key.sheet,
      questions: [...key.sheet.questions, ...more],
    });
    const { failures, questions } = await proveSheet({ ...key, sheet }, { students: 40 });
    expect(questions).toBe(6);
    // Lists need no fixed number of slips, words none at all.
    expect(failures).toEqual([]);
  });

  test.each([
    ['sheet.ts', "id: '8.2'", "id: '9.2'", 'the questions of this sheet begin with 8.'],
    [
      'sheet.ts',
      "unit: 'mm'",
      "unit: 'inch'",
      "the unit … is not known; for a plain number write '1'.",
    ],
    [
      'sheet.ts',
      'relative: 0.01',
      'relative: 1',
      'a relative tolerance of … lets nearly anything agree; 0.005 means 0.5 %.',
    ],
    [
      'sheet.ts',
      "draw.between('other hair'",
      "draw.between('diameter'",
      'The given … is drawn twice; each draw needs a name of its own, or both come out equal.',
    ],
    [
      'sheet.ts',
      'um(50), um(90), um(1)',
      'um(50.5), um(90), um(1)',
      'both ends must be whole multiples of the step.',
    ],
    [
      'sheet.ts',
      'relative: 0.01',
      'relative: 0.0001',
      'the tolerance is narrower than honest rounding: … does not agree',
    ],
    [
      'sheet.ts',
      'place(given, 1.5),',
      'place(given, 1.004),',
      'the slip … agrees: it is nearer than the tolerance',
    ],
    ['sheet.ts', 'place(given, 1.5),', 'place(given, 2),', 'the slip … is taken for …'],
    [
      'sheet.ts',
      "hint: 'This looks like metres; millimetres are asked for.'",
      tellingHint,
      'the hint of the slip … tells the expected value …',
    ],
    [
      'sheet.ts',
      "'8.3', kind: 'sealed'",
      "'8.5', kind: 'sealed'",
      'it is sealed, so the key needs its open form under sealed.',
    ],
    ['key.ts', "unit: 'um'", "unit: 'mm'", 'the sheet asks for …, the key for ….'],
    [
      'key.ts',
      "{ marks: 1, point: 'Without",
      "{ marks: 2, point: 'Without",
      'its mark scheme adds up to … marks, the sheet gives ….',
    ],
    [
      'key.ts',
      thirdSlip ?? 'a slip of the example',
      '',
      'it has 2 slips; a numeric question has at least 3',
    ],
    [
      'sheet.ts',
      'value: (given) => 2 * place(given, 2),',
      'value: (given) => given.missing.length,',
      'a formula of the sheet stops with an error: …',
    ],
  ])('%s with %s for %s is told in the guide', async (file, from, to, sentence) => {
    expect(guide).toContain(`| \`${sentence}\` `);
    const said = (await saidAfter(file, from, to)).map((what) => what.replaceAll('`', ''));
    expect(said.join('\n')).toMatch(pattern(sentence));
  });

  test.each([
    [
      'key.ts',
      'const otherHair = (given',
      'const otherHair = (givn',
      'the model notebook fails in cell …',
    ],
    [
      'key.ts',
      "'8-3-work': `",
      "'8-33-work': `",
      'the model answer is judged open: There is no answer yet: …',
    ],
  ])('a model notebook that goes wrong: %s with %s', async (file, from, to, sentence) => {
    const files = example();
    expect(files[file]).toContain(from);
    const changed = { ...files, [file]: files[file].replace(from, to) };
    const { proof } = await proveWithNotebook(changed, 1);
    expect(guide).toContain(`| \`${sentence}\` `);
    expect(proof.failures.map(({ what }) => what).join('\n')).toMatch(pattern(sentence));
  });
});

import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import katex from 'katex';
import { describe, expect, test } from 'vitest';
import {
  type Cell,
  cellById,
  sourceOf,
  studentNumberOf,
  tagOf,
  takesWork,
} from '../../kernel-lib/notebook/notebook';

import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { textOfNotebook } from '../../kernel-lib/notebook/sheet-text';

import type { AnyQuestion } from '../../kernel-lib/questions/sheet';
import { sampleStudent } from '../../worksheets/sample-answers';
import { keyNamed, names } from './sheets';

const keys = await Promise.all(names.map(keyNamed));
const original = (name: string) =>
  readFileSync(
    fileURLToPath(new URL(`../../.build/worksheets/${name}/sheet.ipynb`, import.meta.url)),
    'utf8',
  );

/** How a text cell names a question's unit. */
const unitWords: Record<string, RegExp> = {
  deg: /in degrees/,
  arcsec: /in seconds of arc/,
  m: /in metres/,
  mm: /in millimetres/,
  um: /in micrometres/,
  nm: /in nanometres/,
  mrad: /in milliradians/,
  '%': /in percent/,
  '1': /without unit|whole number/,
};

describe.each(keys.map((key) => [key.sheet.name, key] as const))('%s', (name, key) => {
  const text = original(name);
  // Reading validates against the nbformat 4.5 schema (Debian's python3-nbformat) and refuses repeated ids.
  const notebook = readNotebook(text);
  const questions: AnyQuestion[] = [...key.sheet.questions];
  const cellOf = (question: AnyQuestion, role: string): Cell | undefined =>
    notebook.cells.find((cell) => {
      const mark = tagOf(cell);
      return mark?.question === question.id && mark.role === role;
    });

  test('is made of the sheet’s text, without outputs', () => {
    const source = new URL(`../../worksheets/${name}/sheet.md`, import.meta.url);
    expect(textOfNotebook(notebook)).toBe(readFileSync(source, 'utf8'));
    expect(text).toBe(`${JSON.stringify(notebook, null, 1)}\n`);
    for (const cell of notebook.cells) {
      expect(Array.isArray(cell.source)).toBe(true);
      if (cell.cell_type === 'code')
        expect([cell.execution_count, cell.outputs]).toEqual([null, []]);
    }
  });

  test('every cell says which sheet and role it has; only answers can be changed', () => {
    for (const cell of notebook.cells) {
      expect(tagOf(cell)?.sheet).toBe(name);
      const locked = takesWork(cell) ? undefined : false;
      expect([cell.id, cell.metadata.deletable, cell.metadata.editable]).toEqual([
        cell.id,
        locked,
        locked,
      ]);
    }
    expect(notebook.cells.length).toBeGreaterThanOrEqual(20);
    expect(notebook.cells.length).toBeLessThanOrEqual(40);
  });

  test('begins with its title and holds the sample number', () => {
    expect(sourceOf(notebook.cells[0])).toMatch(new RegExp(`^# ${key.sheet.title}\n`));
    expect(sourceOf(notebook.cells[0])).toMatch(/About \d+ minutes/);
    expect(studentNumberOf(notebook)).toBe(sampleStudent);
  });

  test('cautions where it speaks of the real demonstration', () => {
    const all = notebook.cells.map(sourceOf).join('\n');
    expect(all).toMatch(/^> \*\*Take care\.\*\* [^\n]*sun[^\n]*safety officer/m);
  });

  test.each(questions.map((question) => [question.id, question] as const))(
    '%s has its cells, marks and unit',
    (id, question) => {
      const told = cellOf(question, 'text');
      expect(told && sourceOf(told)).toMatch(new RegExp(`^### ${id.replace('.', '\\.')} `, 'm'));
      const source = told ? sourceOf(told) : '';
      expect(source).toMatch(new RegExp(`^\\*${question.marks} marks?\\. `, 'm'));
      if (question.kind === 'sealed') expect(source).toMatch(/sealed/);
      if ('unit' in question && question.unit) expect(source).toMatch(unitWords[question.unit]);
      if (question.kind === 'written') {
        expect(cellOf(question, 'written')?.cell_type).toBe('markdown');
        return;
      }
      const work = cellOf(question, 'work');
      expect(work && sourceOf(work)).toMatch(/= blank;|return NaN;/);
      const check = cellOf(question, 'answer');
      expect(check && sourceOf(check)).toMatch(new RegExp(`^check\\('${id}', \\w+\\);$`));
    },
  );

  test('every formula can be set', () => {
    const texts = notebook.cells.filter((cell) => cell.cell_type === 'markdown').map(sourceOf);
    const plain = texts.join('\n').replace(/`[^`\n]*`/g, '');
    const formulas = [...plain.matchAll(/\$\$([^$]+)\$\$|\$([^$\n]+)\$/g)];
    expect(plain.match(/\$/g)?.length ?? 0).toBe(
      formulas.reduce((sum, [, shown]) => sum + (shown === undefined ? 2 : 4), 0),
    );
    expect(formulas.length).toBeGreaterThan(10);
    for (const [, shown, inline] of formulas)
      katex.renderToString(shown ?? inline, { throwOnError: true, strict: 'error' });
  });

  test('has no cell for a question that the sheet does not know', () => {
    const known = new Set(questions.map(({ id }) => id));
    const asked = notebook.cells.map((cell) => tagOf(cell)?.question).filter(Boolean);
    expect(asked.filter((id) => !known.has(id as string))).toEqual([]);
  });

  test('the key answers every work and written cell, and no other', () => {
    const answered = notebook.cells
      .filter((cell) => takesWork(cell) && cell.id !== 'student-number')
      .map((cell) => cell.id);
    expect(Object.keys(key.model).sort()).toEqual(answered.sort());
    for (const id of Object.keys(key.model)) {
      const cell = cellById(notebook, id);
      expect(cell && sourceOf(cell)).not.toBe(key.model[id]);
    }
  });

  test('the sheet itself holds nothing of the key', () => {
    expect(questions.some(({ kind }) => kind === 'sealed')).toBe(true);
    expect(questions.some(({ kind }) => kind === 'written')).toBe(true);
    for (const source of Object.values(key.model)) expect(text).not.toContain(source);
  });

  test('the instructor’s page says what an instructor needs', () => {
    const titles = [...key.instructor.matchAll(/^## (.+)$/gm)].map(([, title]) => title);
    expect(titles).toEqual([
      'Purpose',
      'Answers for the sample student',
      'Usual troubles',
      'Time',
      'Apparatus for the real demonstration',
      'Safety',
    ]);
    for (const { id } of questions) expect(key.instructor).toMatch(new RegExp(`^\\| ${id}`, 'm'));
    expect(key.instructor).toMatch(/safety officer/);
  });
});

import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { codeCells, type Notebook, studentNumberOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';
import { scratch } from '../scratch';
import { multislit } from './multislit';

const { at } = scratch('run with a space ');

function notebookOf(...sources: string[]): string {
  const cells = sources.map((source, i) => ({
    cell_type: 'code' as const,
    id: i === 0 ? 'student-number' : `cell-${i}`,
    source,
    metadata: {},
    execution_count: null,
    outputs: [],
  }));
  const notebook: Notebook = { nbformat: 4, nbformat_minor: 5, metadata: {}, cells };
  return writeNotebook(notebook);
}

function place(name: string, text: string): string {
  const path = at(name);
  writeFileSync(path, text);
  return path;
}

const numberLine = "const studentNumber = '000000';";

test('a notebook is run and written with its outputs; the one handed in stays as it was', async () => {
  const text = notebookOf(
    numberLine,
    "import { nm } from 'multislit';\nconsole.log('for', studentNumber);\nnm(550) * 2",
  );
  const path = place('good.ipynb', text);
  const to = at('ran.ipynb');
  const { code, err } = await multislit(['run', path, '--to', to, '--student', '204117']);
  expect(err).toBe('');
  expect(code).toBe(0);
  const ran = readNotebook(readFileSync(to, 'utf8'));
  expect(studentNumberOf(ran)).toBe('204117');
  const [, second] = codeCells(ran);
  expect(second.execution_count).toBe(2);
  expect(second.outputs).toMatchObject([
    { output_type: 'stream', name: 'stdout', text: ['for 204117\n'] },
    { output_type: 'execute_result', data: { 'text/plain': ['0.0000011'] }, execution_count: 2 },
  ]);
  expect(readFileSync(path, 'utf8')).toBe(text);
});

test('a cell opens a file beside the notebook by its bare name, and the library takes its bytes', async () => {
  place('readings.csv', 'x / mm;signal\n-1,5;10\n0;20\n');
  const path = place(
    'reads.ipynb',
    notebookOf(
      "import { readFileSync } from 'node:fs';\nimport { csvProfile } from 'multislit';\ncsvProfile(readFileSync('readings.csv')).x[0]",
    ),
  );
  const to = at('read.ipynb');
  const { code, err } = await multislit(['run', path, '--to', to]);
  expect([code, err]).toEqual([0, '']);
  const [cell] = codeCells(readNotebook(readFileSync(to, 'utf8')));
  expect(cell.outputs).toMatchObject([{ data: { 'text/plain': ['-0.0015'] } }]);
});

test('a failing cell is named by its line, the cells after it run, the file is written', async () => {
  const path = place('fails.ipynb', notebookOf(numberLine, 'const a = 1;\nnull!.x;', '1 + 1'));
  const to = at('failed.ipynb');
  const { code, err } = await multislit(['run', path, '--to', to]);
  expect(code).toBe(1);
  expect(err).toMatch(/^Code cell 2, line 2: /);
  const cells = codeCells(readNotebook(readFileSync(to, 'utf8')));
  expect(cells[1].outputs[0].output_type).toBe('error');
  expect(cells[2].outputs[0].output_type).toBe('execute_result');
});

test('a timer that a cell leaves behind does not keep the command alive', async () => {
  const path = place('timer.ipynb', notebookOf(numberLine, 'setInterval(() => {}, 1000);'));
  const { code } = await multislit(['run', path, '--to', at('timer-ran.ipynb')]);
  expect(code).toBe(0);
});

test.each([
  ['no such file', ['gone.ipynb'], /gone\.ipynb cannot be read: it is not there\./],
  ['damaged', ['cut.ipynb'], /cut\.ipynb: The file is not a notebook: it is not JSON/],
  ['a folder', ['.'], /cannot be read: it is a folder/],
])('%s: one sentence, exit code 1, nothing written', async (_, [name], sentence) => {
  place('cut.ipynb', notebookOf(numberLine).slice(0, 100));
  const before = readdirSync(at());
  const to = at('never.ipynb');
  const { code, out, err } = await multislit(['run', at(name), '--to', to]);
  expect(code).toBe(1);
  expect(err.trim().split('\n')).toHaveLength(1);
  expect(err).toMatch(sentence);
  expect(out).toBe('');
  expect(readdirSync(at())).toEqual(before);
});

test('a place that cannot take the file is told before anything is run', async () => {
  const path = place('fine.ipynb', notebookOf(numberLine, "console.log('ran')"));
  mkdirSync(at('inner'));
  const nowhere = await multislit(['run', path, '--to', at('none', 'x.ipynb')]);
  expect(nowhere.code).toBe(1);
  expect(nowhere.err).toMatch(/there is no folder .*none\. Make it first\./);
  const inner = await multislit(['run', path, '--to', at('inner')]);
  expect(inner.code).toBe(1);
  expect(inner.err).toMatch(/is a folder; name the file to write/);
});

test('a student number that is none is told', async () => {
  const path = place('number.ipynb', notebookOf(numberLine));
  const to = at('number-ran.ipynb');
  const { code, err } = await multislit(['run', path, '--to', to, '--student', '12a']);
  expect(code).toBe(1);
  expect(err).toMatch(/4 to 10 digits and nothing else; '12a' was given/);
});

test('wrong words: exit code 2 and a pointer to the help', async () => {
  const { code, err } = await multislit(['run']);
  expect(code).toBe(2);
  expect(err).toMatch(/missing required argument 'notebook'|required option/);
  expect((await multislit(['dance'])).code).toBe(2);
});

test('every command has help and ends with 0', async () => {
  for (const words of [['--help'], ['run', '--help'], ['prove', '--help'], ['open', '--help']]) {
    const { code, out } = await multislit(words);
    expect(code).toBe(0);
    expect(out).toMatch(/^Usage: multislit/);
  }
});

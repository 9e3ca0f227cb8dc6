import { spawn } from 'node:child_process';
import {
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { createServer, type Server } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Notebook, sourceOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';
import { handIn, keyOf, machineMarks, modelReturn, oneSlit, returnOf } from '../cli/class-for-test';
import { type Ended, multislit } from '../cli/multislit';
import { needs } from '../needs';
import { answers } from './files/answers';
import { hostileArchives } from './files/archives';
import { changedNotebooks } from './files/changed-notebooks';
import { namesAndPlaces } from './files/names-and-places';
import { notNotebooks } from './files/not-notebooks';
import { studentNumbers } from './files/student-numbers';
import type { HostileFile } from './hostile-file';

const { skip } = needs('bwrap');
const here = (part: string) => fileURLToPath(new URL(part, import.meta.url));
const home = here('../..').replace(/\/$/, '');

/** `MULTISLIT_HOSTILE="long-name link"` hands in those only. */
const only = process.env.MULTISLIT_HOSTILE?.split(' ');
const isMeant = (file: string) => only?.includes(file.replace(/\.\w+$/, '')) ?? true;

/** Each cell stands in the place of the answer to 2.1; only 2.3 is answered well besides. */
const cells = readdirSync(here('cells'))
  .filter(isMeant)
  .map((file) => {
    const text = readFileSync(join(here('cells'), file), 'utf8');
    const [tells, ...rest] = text.split('\n');
    const says = rest.find((line) => line.startsWith('// Says: '))?.slice(9);
    return { name: file.replace('.txt', ''), tells: tells.slice(3), says, text };
  });
const files = Object.entries({
  ...answers,
  ...changedNotebooks,
  ...hostileArchives,
  ...namesAndPlaces,
  ...notNotebooks,
  ...studentNumbers,
})
  .filter(([name]) => isMeant(name))
  .map(([name, file]) => ({ name, file: { outcome: /^marked$/, ...file } }));
const students = new Map([...cells, ...files].map(({ name }, i) => [name, String(2001 + i)]));
const studentOf = (name: string) => students.get(name) as string;

/** Whose first answer is right. */
const perfect = [
  '1001',
  '1002',
  ...files
    .filter(({ file }) => file.earns === 'all' && file.loses === undefined)
    .map(({ name }) => studentOf(name)),
];
const secret = 'canary-4f1d9c';
const full = machineMarks(oneSlit);
const intensityMarks = keyOf(oneSlit).sheet.questions.find(({ id }) => id === '2.3')?.marks ?? 0;
const guessMarks = keyOf(oneSlit).sheet.questions.find(({ id }) => id === '2.1')?.marks ?? 0;

let folder: string;
let ended: Ended;
let tcp: Server;
let unix: Server;
let bystander: ReturnType<typeof spawn>;
let connections = 0;
let marks: Map<string, number>;
let outcomes: { path: string; outcome: string; student: string }[];
const at = (...parts: string[]) => join(folder, ...parts);

function listening(where: number | string): Promise<Server> {
  const server = createServer((socket) => {
    connections += 1;
    socket.destroy();
  });
  return new Promise((done) => {
    if (typeof where === 'string') server.listen(where, () => done(server));
    else server.listen(where, '127.0.0.1', () => done(server));
  });
}

beforeAll(async () => {
  if (skip) return;
  folder = mkdtempSync(join(tmpdir(), 'hostile-'));
  writeFileSync(at('canary.txt'), secret);
  writeFileSync(at('canary.ts'), `export const canary = '${secret}' as const;\n`);
  tcp = await listening(0);
  unix = await listening(at('socket'));
  bystander = spawn(process.execPath, ['-e', 'setInterval(() => {}, 1000)']);
  const places: Record<string, string> = {
    folder,
    home,
    returns: at('returns'),
    canary: at('canary.txt'),
    socket: at('socket'),
    addon: addonFile(),
    port: String((tcp.address() as { port: number }).port),
    pid: String(bystander.pid),
    brackets: '['.repeat(100_000) + ']'.repeat(100_000),
    longName: 'a'.repeat(200_000),
    numbers: Array.from({ length: 60_000 }, (_, i) => ((i % 700) / 8).toFixed(1)).join(),
  };
  const filled = (text: string) => text.replace(/\{\{(\w+)\}\}/g, (_, word) => places[word]);
  const { model } = keyOf(oneSlit);
  const others = { '2-3-work': model['2-3-work'] };
  for (const { name, text } of cells) {
    const sources = { ...others, '2-1-work': `let firstDarkLine: any = blank;\n${filled(text)}` };
    handIn(at('returns'), `${name}.ipynb`, returnOf(oneSlit, studentOf(name), sources));
  }
  for (const student of ['1001', '1002'])
    handIn(at('returns'), `${student}.ipynb`, modelReturn(oneSlit, student));
  for (const { name, file } of files) lay(name, file);
  const roster = ['student', '1001', '1002', ...students.values()].join('\n');
  writeFileSync(at('roster.csv'), `${roster}\n`);
  const args = ['mark', at('returns'), '--to', at('marks'), '--roster', at('roster.csv')];
  const limits = ['--jobs', '2', '--cell-seconds', '2', '--sheet-seconds', '20'];
  ended = await multislit([...args, '--sheet', oneSlit, ...limits], {
    env: { CANARY_VARIABLE: secret },
  });
  const table = (name: string): Record<string, string>[] =>
    parse(readFileSync(at('marks', name), 'utf8'), { columns: true, bom: true });
  marks = new Map(table('marks.csv').map((row) => [row.student, Number(row[oneSlit])]));
  outcomes = table('returns.csv') as unknown as typeof outcomes;
});

afterAll(() => {
  if (skip) return;
  tcp.close();
  unix.close();
  bystander.kill();
  if (process.env.KEEP) console.log(folder);
  else rmSync(folder, { recursive: true, force: true });
});

/** Put a file into the folder of returns. */
function lay(name: string, file: HostileFile): void {
  const student = studentOf(name);
  const place = file.as?.(name, student) ?? `${name}.ipynb`;
  file.put?.(at('returns', place), student);
  if (!file.what) return;
  const path = handIn(at('returns'), place, file.what(student));
  if (file.saved !== undefined) utimesSync(path, file.saved, file.saved);
}

/** A native addon that lies in the library's own folder of packages. */
function addonFile(): string {
  const build = join(home, 'node_modules', 'zeromq', 'build');
  const found = readdirSync(build, { recursive: true, encoding: 'utf8' });
  return join(build, found.find((name) => name.endsWith('.node')) ?? 'addon.node');
}

/** The rows of returns.csv for a file. */
const rowsOf = (name: string) =>
  outcomes.filter(({ path }) => new RegExp(`(?:^|[ ,])${name}(?:[./]|$)`).test(path));

const linesOf = (name: string) =>
  rowsOf(name)
    .map((row) => Object.values(row).join(','))
    .join('\n');

/** Everything that marking wrote, as one text. */
function allWritten(end = ''): string {
  return readdirSync(at('marks'), { recursive: true, encoding: 'utf8' })
    .map((name) => at('marks', name))
    .filter((path) => path.endsWith(end) && statSync(path).isFile())
    .map((path) => readFileSync(path, 'utf8'))
    .join('\n');
}

/** The notebooks of returns as they ran; reading holds them to nbformat's schema. */
const notebooks = (): Notebook[] =>
  readdirSync(at('marks', 'students'), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ipynb'))
    .map((name) => readNotebook(readFileSync(at('marks', 'students', name), 'utf8')));

const outputsOf = ({ cells: all }: Notebook): string =>
  JSON.stringify(all.map((cell) => (cell.cell_type === 'code' ? cell.outputs : [])));

const studentOfNotebook = ({ metadata }: Notebook): string =>
  (metadata.multislit as { student: string }).student;

const recordOf = (name: string): string =>
  readFileSync(at('marks', 'records', oneSlit, `${studentOf(name)}.json`), 'utf8');

describe.skipIf(skip)('a class with hostile and careless returns', () => {
  test('the run ends well, and those who did nothing wrong have their marks', () => {
    expect(ended.code).toBe(0);
    for (const student of perfect) expect([student, marks.get(student)]).toEqual([student, full]);
    if (!only) expect(cells.length + files.length).toBeGreaterThanOrEqual(125);
  });

  test('every return is in the list, each once', () => {
    const counted = outcomes.filter(({ outcome }) => /^(marked|did not run)$/.test(outcome));
    const numbers = counted.map(({ student }) => student);
    expect(new Set(numbers).size).toBe(numbers.length);
    for (const { name } of cells) expect(numbers).toContain(studentOf(name));
    for (const { name } of files) expect(rowsOf(name).length).toBeGreaterThan(0);
  });

  test('nothing outside was touched, no one was reached, no one was ended', () => {
    expect(readFileSync(at('canary.txt'), 'utf8')).toBe(secret);
    expect(readdirSync(folder).filter((name) => name.startsWith('touched'))).toEqual([]);
    expect(readdirSync(tmpdir()).filter((name) => name === 'touched.txt')).toEqual([]);
    expect(connections).toBe(0);
    expect(bystander.exitCode).toBeNull();
    expect(bystander.signalCode).toBeNull();
  });

  test('nothing secret is in what marking wrote', () => {
    const text = allWritten();
    expect(text).not.toContain(secret);
    const pages = allWritten('.html');
    expect(pages).toMatch(/Marks of the class/);
    expect(pages).not.toMatch(/<(?:script|img)/);
    // Notebooks and students' pages hold the cells as well, which have these words in them; what came out of cells does
    // not.
    const files = ['.json', '.csv'].map(allWritten);
    files.push(pages.replace(/<pre.*?<\/pre>/gs, ''));
    const told = [...files, ...notebooks().map(outputsOf)];
    for (const one of told)
      expect(one).not.toMatch(/(?:KEY|COPIED|WROTE|READ|OPEN|LOADED|DEBUG|LIFTED) /);
  });

  test('each notebook of a return is sound, small, and shows nothing but text', () => {
    const all = notebooks();
    expect(all.length).toBeGreaterThanOrEqual(cells.length);
    for (const notebook of all) {
      // What came out is bounded; what a student wrote is all there.
      expect(writeNotebook(notebook).length).toBeLessThan(700_000 + 150 * notebook.cells.length);
      for (const cell of notebook.cells) {
        expect(Object.keys(cell.metadata).filter((name) => name !== 'multislit')).toEqual([]);
        const outputs = cell.cell_type === 'code' ? cell.outputs : [];
        const types = outputs.flatMap((one) => ('data' in one ? Object.keys(one.data) : []));
        expect(types.filter((type) => type !== 'text/plain')).toEqual([]);
        if (cell.id !== '2-1-answer') continue;
        // But for a few, nobody's first answer is right, whatever the cells print.
        const verdict = outputs.at(-1);
        const said =
          verdict && 'data' in verdict ? [verdict.data['text/plain']].flat().join('') : '';
        const student = studentOfNotebook(notebook);
        const isPartly = files.some(
          ({ name, file }) => file.loses !== undefined && studentOf(name) === student,
        );
        if (!perfect.includes(student) && !isPartly)
          expect(said).toMatch(/^2\.1 {2}Not yet\. 0 of/);
        expect(sourceOf(cell)).toBe("check('2.1', firstDarkLine);");
      }
    }
  });

  test.each(cells.map((cell) => [cell.name, cell] as const))('%s', (name, { tells, says }) => {
    const earned = marks.get(studentOf(name)) ?? Number.NaN;
    expect(tells).toMatch(/^[A-Z].*\.$/);
    const { questions } = JSON.parse(recordOf(name));
    const own = (id: string) => questions.find((one: { question: string }) => one.question === id);
    expect(own('2.1').marks).toBe(0);
    expect(earned).toBe(own('2.3').marks);
    expect([0, intensityMarks]).toContain(earned);
    if (says) expect(own('2.1').message).toMatch(new RegExp(says));
    const isFailed = JSON.parse(recordOf(name)).cells.some(
      ({ id, error }: { id: string; error?: object }) => id === '2-1-work' && error,
    );
    if (isFailed) expect(own('2.1').message).not.toMatch(/no answer yet/i);
    expect(own('2.1').message.length).toBeLessThan(1500);
    if (tells.includes('Keeps its other answers')) expect(earned).toBe(intensityMarks);
  });

  test.each(files.map((one) => [one.name, one.file] as const))('%s', (name, file) => {
    const found = rowsOf(name);
    expect(file.tells).toMatch(/^[A-Z].*\.$/);
    expect(found.map(({ outcome }) => outcome)).toEqual(
      found.map(() => expect.stringMatching(file.outcome)),
    );
    expect(found.length).toBeGreaterThan(0);
    if (file.remark) expect(linesOf(name)).toMatch(file.remark);
    const earned = marks.get(studentOf(name)) ?? 0;
    const all = file.earns === 'all' || file.loses !== undefined;
    const deserved = all ? full - (file.loses ?? 0) : 0;
    expect(earned).toBe(name === 'classmates-work' ? full - guessMarks : deserved);
    if (!file.says) return;
    const { questions } = JSON.parse(recordOf(name));
    for (const { question, message } of questions)
      if (file.says[question]) expect(message).toMatch(file.says[question]);
  });
});

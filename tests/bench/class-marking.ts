import { mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { built, home } from '../../kernel-lib/kernel/home';
import { sheetNames } from '../../kernel-lib/kernel/sheets';
import { sourceOf, withSources } from '../../kernel-lib/notebook/notebook';
import { handIn, keyOf, originalOf, returnOf } from '../cli/class-for-test';
import { makeClass } from '../cli/made-up-class/make-class';
import { planClass } from '../cli/made-up-class/plan';
import { needs } from '../needs';
import { type Watched, watchedRun } from './parts/watched-run';

// A made-up class on two cores, marks included, against `jupyter nbconvert --execute` with stock tslab
// 1.0.22, which only runs the notebooks. Both as people run them, from the start of the command.
const students = Number(process.env.STUDENTS ?? 100);
const sample = 4;
const cores = 2;

async function mark(folder: string, count: number): Promise<Watched & { returns: number }> {
  const returns = join(folder, `returns-${count}`);
  // An answer that never ends costs the time that it is given, whatever else is fast or slow.
  const places = planClass(sheetNames(), count).filter(({ kind }) => kind !== 'never ends');
  const made = makeClass(returns, places);
  const args = ['mark', returns, '--to', join(folder, `marks-${count}`), '--jobs', String(cores)];
  const ran = await watchedRun(process.execPath, [built('cli.cjs'), ...args]);
  return { ...ran, returns: made.returns.size };
}

/** Stock tslab has no sheets, so the baseline is told where they are. */
function stockNotebook(sheet: string, student: string) {
  const notebook = returnOf(sheet, student, keyOf(sheet).model);
  const file = JSON.stringify(built(`worksheets/${sheet}/sheet.cjs`));
  const given = originalOf(sheet).cells.find(({ id }) => id === 'given');
  const source = `import { setSheetSource } from 'multislit';\nsetSheetSource(() => require(${file}).default);\n${given ? sourceOf(given) : ''}`;
  const { metadata } = notebook;
  const kernelspec = { name: 'stock', display_name: 'stock', language: 'typescript' };
  return { ...withSources(notebook, { given: source }), metadata: { ...metadata, kernelspec } };
}

async function stock(folder: string): Promise<number> {
  const spec = join(folder, 'jupyter', 'kernels', 'stock');
  mkdirSync(spec, { recursive: true });
  const argv = [process.execPath, join(home, 'node_modules/tslab/bin/tslab'), 'kernel'];
  const kernel = {
    argv: [...argv, '--config-path={connection_file}'],
    display_name: 'stock',
    language: 'typescript',
  };
  writeFileSync(join(spec, 'kernel.json'), JSON.stringify(kernel));
  const work = join(folder, 'stock');
  mkdirSync(join(work, 'node_modules', '@types'), { recursive: true });
  symlinkSync(home, join(work, 'node_modules', 'multislit'), 'dir');
  symlinkSync(
    join(home, 'node_modules/@types/node'),
    join(work, 'node_modules/@types/node'),
    'dir',
  );
  const sheets = sheetNames();
  const files = Array.from({ length: sample }, (_, i) => {
    const sheet = sheets[i % sheets.length];
    return handIn(work, `${i}.ipynb`, stockNotebook(sheet, String(400_000 + i)));
  });
  const { path: jupyter } = needs('jupyter');
  const one = (file: string) =>
    watchedRun(
      jupyter,
      ['nbconvert', '--execute', '--allow-errors', '--to', 'notebook', '--inplace', file],
      { env: { JUPYTER_PATH: join(folder, 'jupyter') } },
    );
  const started = performance.now();
  const waiting = [...files];
  const worker = async () => {
    for (let file = waiting.shift(); file; file = waiting.shift()) await one(file);
  };
  await Promise.all(Array.from({ length: cores }, worker));
  const seconds = (performance.now() - started) / 1000 / sample;
  for (const file of files)
    if (!readFileSync(file, 'utf8').includes('Agrees.'))
      throw new Error(`The baseline did not run ${file}`);
  return seconds;
}

export default async function bench() {
  const folder = mkdtempSync(join(tmpdir(), 'class-marking-'));
  try {
    const baseline = await stock(folder);
    const small = await mark(folder, Math.ceil(students / 2));
    const large = await mark(folder, students);
    const ours = large.seconds / large.returns;
    const further = (large.seconds - small.seconds) / (large.returns - small.returns);
    const note = [
      `${large.returns} returns of ${students} students on ${cores} cores, start included; per return.`,
      `each further return ${(1000 * further).toFixed(0)} ms; largest memory of the marker ${large.peak.toFixed(0)} MB (class-growth tells more)`,
    ].join('\n');
    return { name: 'class-marking', ours, baseline, ratio: baseline / ours, aim: 20, note };
  } finally {
    if (!process.env.KEEP) rmSync(folder, { recursive: true, force: true });
  }
}

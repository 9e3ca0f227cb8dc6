import { spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { built, home } from '../../kernel-lib/kernel/home';
import { sheetNames } from '../../kernel-lib/kernel/sheets';
import { withSources } from '../../kernel-lib/notebook/answers';
import { sourceOf } from '../../kernel-lib/notebook/text';
import { handIn, keyOf, masterOf, returnOf } from '../cli/class-for-test';
import { hasKey, makeClass } from '../cli/made-up-class';
import { needs } from '../needs';

// A made-up class on two cores, marks included, against `jupyter nbconvert --execute` with stock tslab
// 1.0.22, which only runs the notebooks. Both as people run them, from the start of the command.
const students = Number(process.env.STUDENTS ?? 100);
const sample = 4;
const cores = 2;

interface Ran {
  readonly seconds: number;
  /** Largest memory of the process itself, MB. */
  readonly peak: number;
}

function run(
  file: string,
  words: readonly string[],
  env: Record<string, string> = {},
): Promise<Ran> {
  const started = performance.now();
  const child = spawn(file, words, {
    env: { ...process.env, ...env },
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  let peak = 0;
  let said = '';
  child.stderr.on('data', (piece) => {
    said = (said + piece).slice(-2000);
  });
  const look = setInterval(() => {
    try {
      const status = readFileSync(`/proc/${child.pid}/status`, 'utf8');
      peak = Number(/VmHWM:\s+(\d+)/.exec(status)?.[1] ?? 0) / 1024;
    } catch {
      // Only where there is a /proc.
    }
  }, 100);
  return new Promise((done, fail) =>
    child.once('close', (code) => {
      clearInterval(look);
      if (code === 0) done({ seconds: (performance.now() - started) / 1000, peak });
      else fail(new Error(`${file} ${words[0]} ended with ${code}: ${said}`));
    }),
  );
}

async function mark(folder: string, count: number): Promise<Ran & { returns: number }> {
  const returns = join(folder, `returns-${count}`);
  const made = makeClass(returns, sheetNames().filter(hasKey), count);
  const words = ['mark', returns, '--to', join(folder, `marks-${count}`), '--jobs', String(cores)];
  const ran = await run(process.execPath, [built('cli.cjs'), ...words]);
  return { ...ran, returns: made.truth.size };
}

/** Stock tslab has no sheets, so the baseline is told where they are. */
function stockNotebook(sheet: string, student: string) {
  const notebook = returnOf(sheet, student, keyOf(sheet).model);
  const file = JSON.stringify(built(`worksheets/${sheet}/sheet.cjs`));
  const setup = masterOf(sheet).cells.find(({ id }) => id === 'setup');
  const source = `import { setSheetSource } from 'multislit';\nsetSheetSource(() => require(${file}).default);\n${setup ? sourceOf(setup) : ''}`;
  const { metadata } = notebook;
  const kernelspec = { name: 'stock', display_name: 'stock', language: 'typescript' };
  return { ...withSources(notebook, { setup: source }), metadata: { ...metadata, kernelspec } };
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
  const sheets = sheetNames().filter(hasKey);
  const files = Array.from({ length: sample }, (_, i) => {
    const sheet = sheets[i % sheets.length];
    return handIn(work, `${i}.ipynb`, stockNotebook(sheet, String(400_000 + i)));
  });
  const { path: jupyter } = needs('jupyter');
  const one = (file: string) =>
    run(
      jupyter,
      ['nbconvert', '--execute', '--allow-errors', '--to', 'notebook', '--inplace', file],
      { JUPYTER_PATH: join(folder, 'jupyter') },
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
    const growth = (1024 * (large.peak - small.peak)) / (large.returns - small.returns);
    const note = [
      `${large.returns} returns of ${students} students on ${cores} cores, start included; per return.`,
      `each further return ${((1000 * (large.seconds - small.seconds)) / (large.returns - small.returns)).toFixed(0)} ms`,
      `memory of the marker: ${small.peak.toFixed(0)} MB for ${small.returns} returns, ${large.peak.toFixed(0)} MB for ${large.returns}: ${growth.toFixed(0)} kB for each more`,
    ].join('\n');
    return { name: 'class-marking', ours, baseline, ratio: baseline / ours, aim: 20, note };
  } finally {
    if (!process.env.KEEP) rmSync(folder, { recursive: true, force: true });
  }
}

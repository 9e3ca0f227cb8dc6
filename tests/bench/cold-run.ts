import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { needs } from '../needs';
import { median } from './parts/timing';

// A notebook of 25 cells from cold: `multislit run` against Jupyter's own executor with stock tslab.
// The cells are plain TypeScript, for stock tslab does not find the library,
// and of a kind that it runs: it stumbles over shorthand properties and patterns with earlier cells' names.
const root = join(import.meta.dirname, '..', '..');
const rounds = 3;

const sources = [
  'const width = 40e-6;\nconst spacing = 100e-6;\nconst wavelength = 550e-9;',
  'interface Slit {\n  centre: number;\n  width: number;\n}',
  'function slitsOf(count: number): Slit[] {\n  return Array.from({ length: count }, (_, n) => ({ centre: (n - (count - 1) / 2) * spacing, width: 1 * width }));\n}',
  'const sinc = (x: number) => (x === 0 ? 1 : Math.sin(x) / x);',
  'function intensity(count: number, s: number): number {\n  const slits = slitsOf(count);\n  let re = 0;\n  let im = 0;\n  for (const slit of slits) {\n    const phase = (2 * Math.PI * slit.centre * s) / wavelength;\n    const size = sinc((Math.PI * slit.width * s) / wavelength);\n    re += size * Math.cos(phase);\n    im += size * Math.sin(phase);\n  }\n  return (re * re + im * im) / count ** 2;\n}',
  ...Array.from({ length: 18 }, (_, n) => {
    const count = n + 1;
    return `const profile${count} = Array.from({ length: 201 }, (_, i) => intensity(${count}, (i - 100) * 1e-4));\nconsole.log('largest with ${count} slits', Math.max(...profile${count}).toFixed(6));\nprofile${count}.filter((value) => value > 0.5).length`;
  }),
  'const all: Record<string, number[]> = { two: profile2, three: profile3 };\nObject.keys(all).sort()',
  'const sum = (list: number[]) => list.reduce((a, b) => a + b, 0);\n[sum(profile2), sum(profile18)].map((value) => value.toFixed(9))',
];

interface Cell {
  outputs: { output_type: string; data?: Record<string, string | string[]> }[];
}

function notebook(kernel: string): string {
  const cells = sources.map((source, n) => ({
    cell_type: 'code',
    id: `cell-${n}`,
    metadata: {},
    source,
    outputs: [],
    execution_count: null,
  }));
  const kernelspec = { name: kernel, display_name: kernel, language: 'typescript' };
  return JSON.stringify({ nbformat: 4, nbformat_minor: 5, metadata: { kernelspec }, cells });
}

function time(program: string, args: string[], env: NodeJS.ProcessEnv): number {
  const started = performance.now();
  const { status, stderr } = spawnSync(program, args, { env, encoding: 'utf8' });
  if (status !== 0) throw new Error(`${program} ${args.join(' ')} failed: ${stderr}`);
  return (performance.now() - started) / 1000;
}

/** All that a run printed, so that both are known to have done the work. */
function printed(file: string): string {
  const { cells } = JSON.parse(readFileSync(file, 'utf8')) as { cells: Cell[] };
  if (cells.length !== 25) throw new Error(`${file} has ${cells.length} cells, not 25.`);
  return JSON.stringify(cells.map(({ outputs }) => outputs));
}

export default function bench() {
  const jupyter = needs('jupyter');
  if (jupyter.skip) return [];
  const folder = mkdtempSync(join(tmpdir(), 'multislit-bench-'));
  try {
    const kernel = join(folder, 'data', 'kernels', 'stock');
    mkdirSync(kernel, { recursive: true });
    const tslab = join(root, 'node_modules', 'tslab', 'bin', 'tslab');
    const argv = [process.execPath, tslab, 'kernel', '--config-path={connection_file}'];
    const spec = { argv, display_name: 'stock tslab', language: 'typescript' };
    writeFileSync(join(kernel, 'kernel.json'), JSON.stringify(spec));
    const file = join(folder, 'cells.ipynb');
    writeFileSync(file, notebook('stock'));

    const env = { ...process.env, JUPYTER_DATA_DIR: join(folder, 'data') };
    const cli = join(root, '.build', 'cli.cjs');
    const [ran, stock] = [join(folder, 'ours.ipynb'), join(folder, 'stock.ipynb')];
    const convert = ['nbconvert', '--to', 'notebook', '--execute', '--output', 'stock.ipynb', file];
    const ours: number[] = [];
    const baseline: number[] = [];
    for (let round = 0; round < rounds; round += 1) {
      ours.push(time(process.execPath, [cli, 'run', file, '--to', ran], env));
      baseline.push(time(jupyter.path, convert, env));
    }
    for (const one of [ran, stock])
      if (!printed(one).includes('largest with 18 slits'))
        throw new Error(`${one} lacks what its cells print.`);
    const [us, them] = [median(ours), median(baseline)];
    return {
      name: 'cold-run',
      ours: us,
      baseline: them,
      ratio: them / us,
      aim: 4,
      note: `25 cells of plain TypeScript, median of ${rounds}; baseline: jupyter nbconvert --execute with stock tslab`,
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

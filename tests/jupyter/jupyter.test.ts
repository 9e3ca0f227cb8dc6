import { execFile } from 'node:child_process';
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { installKernel } from '../../kernel-lib/kernel/kernelspec';
import { emptyFolder } from '../kernel/kernel';
import { needs } from '../needs';

// The kernel from outside: Jupyter's own programs, as Debian packs them, start it and talk to it.

const run = promisify(execFile);
const root = join(import.meta.dirname, '..', '..');
const kernelTest = needs('kernel-test');
const jupyter = needs('jupyter');
const data = emptyFolder();
const env = { ...process.env, JUPYTER_DATA_DIR: data.path, JUPYTER_PLATFORM_DIRS: '0' };

beforeAll(() => installKernel({ dir: data.path }));
afterAll(() => data.remove());

/** Tests of the package that have nothing to test here; see the head of kernel_tests.py. */
const notApplicable = ['test_history', 'test_pager'];

describe('Debian’s jupyter_kernel_test', () => {
  test.skipIf(kernelTest.skip)('passes, all that applies', async () => {
    const file = join(import.meta.dirname, 'kernel_tests.py');
    const { stderr } = await run(kernelTest.path, [file], { env }).catch((error) => {
      throw new Error(error.stderr);
    });
    const results = [...stderr.matchAll(/^ *(test_\w+) .*?\.\.\. (ok|skipped)/gm)];
    const named = (state: string) =>
      [...new Set(results.filter((one) => one[2] === state).map((one) => one[1]))].sort();
    expect(named('skipped')).toEqual(notApplicable);
    expect(named('ok')).toEqual([
      'test_clear_output',
      'test_completion',
      'test_display_data',
      'test_error',
      'test_execute_result',
      'test_execute_stderr',
      'test_execute_stdout',
      'test_inspect',
      'test_is_complete',
      'test_kernel_info',
      'test_stdin',
      'test_update_display',
    ]);
    expect(stderr).toMatch(/\nOK/);
  });
});

interface Ran {
  cells: {
    cell_type: string;
    source: string | string[];
    outputs?: { output_type: string; name?: string }[];
  }[];
}

/** Execute a notebook with Jupyter's own program and read the result. */
async function execute(notebook: string, folder: string): Promise<Ran> {
  const args = [
    'nbconvert',
    '--to',
    'notebook',
    '--execute',
    '--ExecutePreprocessor.kernel_name=multislit',
    '--output-dir',
    folder,
    '--output',
    'ran.ipynb',
    notebook,
  ];
  await run(jupyter.path, args, { env }).catch((error) => {
    throw new Error(error.stderr);
  });
  return JSON.parse(readFileSync(join(folder, 'ran.ipynb'), 'utf8'));
}

const outputs = ({ cells }: Ran) => cells.flatMap((cell) => cell.outputs ?? []);

describe('jupyter nbconvert --execute', () => {
  test.skipIf(jupyter.skip)('runs a notebook', async () => {
    const folder = emptyFolder();
    const sources = [
      "import { intensity, nm, slits, um } from 'multislit';",
      'const aperture = slits(2, { width: um(40), spacing: um(100) });\nintensity(aperture, nm(550), 0)',
      "console.log('printed')",
    ];
    const notebook = {
      nbformat: 4,
      nbformat_minor: 5,
      metadata: {
        kernelspec: { name: 'multislit', display_name: 'multislit', language: 'typescript' },
      },
      cells: sources.map((source, n) => ({
        cell_type: 'code',
        id: `c${n}`,
        metadata: {},
        source,
        outputs: [],
        execution_count: null,
      })),
    };
    const file = join(folder.path, 'small.ipynb');
    writeFileSync(file, JSON.stringify(notebook));
    const ran = await execute(file, folder.path);
    expect(outputs(ran)).toMatchObject([
      { output_type: 'execute_result', data: { 'text/plain': ['1'] } },
      { output_type: 'stream', name: 'stdout', text: ['printed\n'] },
    ]);
    folder.remove();
  });

  /** `MULTISLIT_ALL_SHEETS=1` runs all, otherwise every third. */
  const isMeant = (i: number) => process.env.MULTISLIT_ALL_SHEETS !== undefined || i % 3 === 0;
  const sheets = readdirSync(join(root, 'worksheets'))
    .map((name) => join(root, '.build', 'worksheets', name, 'sheet.ipynb'))
    .filter((file) => existsSync(file))
    .filter((_, i) => isMeant(i));

  test('there are sheets to run', () => {
    expect(sheets.length).toBeGreaterThanOrEqual(2);
  });

  test.skipIf(jupyter.skip).each(sheets)('runs the sheet %s', async (file) => {
    const folder = emptyFolder();
    const ran = await execute(file, folder.path);
    expect(outputs(ran).filter(({ output_type }) => output_type === 'error')).toEqual([]);
    const count = (type: string) =>
      outputs(ran).filter(({ output_type }) => output_type === type).length;
    expect(count('display_data') + count('execute_result')).toBeGreaterThan(0);
    folder.remove();
  });
});

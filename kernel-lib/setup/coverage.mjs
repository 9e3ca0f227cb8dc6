// `npm run coverage [-- ARGUMENTS]`: which lines of the pure folders the tests run; fails below the floor.
import './node-version.mjs';
import { join } from 'node:path';

/** Pure folders: computation without files, processes or a page; tests/architecture.test.ts keeps the list whole. */
const folders =
  'aperture,camera,display,figures,fitting,light,marking,notebook,numerics,quantity,questions,spectrometer,travels';
/** Percent of lines. */
const floor = 95;

async function main(args) {
  const { installIfMissing } = await import('./install.mjs');
  await installIfMissing();
  const { buildIfStale } = await import('./build.mjs');
  await buildIfStale();
  const { runTool } = await import('./run-tool.mjs');
  const { root } = await import('./places.mjs');
  const tests = [...folders.split(','), 'reference', 'worksheets', 'page-bench'];
  process.exitCode = await runTool('vitest', 'vitest', [
    'run',
    '--config',
    'tests/vitest.config.ts',
    '--coverage.enabled',
    '--coverage.provider=v8',
    `--coverage.include=kernel-lib/{${folders}}/**/*.ts`,
    `--coverage.reportsDirectory=${join(root, '.build', 'coverage')}`,
    '--coverage.reporter=text-summary',
    '--coverage.reporter=json-summary',
    '--coverage.reporter=html',
    `--coverage.thresholds.lines=${floor}`,
    ...(args.length > 0 ? args : tests.map((name) => `tests/${name}/`)),
  ]);
}

try {
  await main(process.argv.slice(2));
} catch (error) {
  console.error(error.message);
  process.exitCode = 1;
}

// `npm test`: set up what is missing, then types, lint and tests side by side. Arguments after `--` go to the test runner.
import './node-version.mjs';

/** Run a check while tests run; what it says is shown in one piece when it has ended. */
async function besides(title, packageName, name, args) {
  const { runToolQuietly } = await import('./run-tool.mjs');
  const { code, said } = await runToolQuietly(packageName, name, args);
  console.log(`\n${title}: ${code === 0 ? 'nothing wrong' : `something is wrong\n${said}`}`);
  return code === 0 ? [] : [title];
}

async function main(args) {
  const { installIfMissing } = await import('./install.mjs');
  await installIfMissing();
  const { buildIfStale } = await import('./build.mjs');
  await buildIfStale();
  const { runTool } = await import('./run-tool.mjs');
  const wrong = await Promise.all([
    besides('Types', 'typescript', 'tsc', ['-p', 'tsconfig.json', '--pretty']),
    besides('Lint and format', '@biomejs/biome', 'biome', ['check', '--error-on-warnings', '.']),
    runTool('vitest', 'vitest', ['run', '--config', 'tests/vitest.config.ts', ...args]).then(
      (code) => (code === 0 ? [] : ['Tests']),
    ),
  ]);
  if (wrong.flat().length > 0)
    throw new Error(`Something is wrong, see above: ${wrong.flat().join(', ')}.`);
}

try {
  await main(process.argv.slice(2));
} catch (error) {
  console.error(error.message);
  process.exitCode = 1;
}

// `npm test`: set up what is missing, then types, lint, tests. Words after `--` go to the test runner.
import './node-version.mjs';

async function main(words) {
  const { installIfMissing } = await import('./install.mjs');
  await installIfMissing();
  const { buildIfStale } = await import('./build.mjs');
  await buildIfStale();
  const { runTool } = await import('./run-tool.mjs');
  const steps = [
    ['Types', 'typescript', 'tsc', ['-p', 'tsconfig.json']],
    ['Lint and format', '@biomejs/biome', 'biome', ['check', '--error-on-warnings', '.']],
    ['Tests', 'vitest', 'vitest', ['run', '--config', 'tests/vitest.config.ts', ...words]],
  ];
  const wrong = [];
  for (const [title, packageName, name, args] of steps) {
    console.log(`\n${title} …`);
    const code = await runTool(packageName, name, args);
    if (code !== 0) wrong.push(title);
  }
  if (wrong.length > 0) throw new Error(`Something is wrong, see above: ${wrong.join(', ')}.`);
}

try {
  await main(process.argv.slice(2));
} catch (error) {
  console.error(error.message);
  process.exitCode = 1;
}

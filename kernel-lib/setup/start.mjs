// `npm start`: set up what is missing, then open the worksheets. In a hand-out nothing is built.
import './node-version.mjs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { isWorkingCopy, root } from './places.mjs';

try {
  const { installIfMissing } = await import('./install.mjs');
  await installIfMissing();
  if (isWorkingCopy()) {
    const { buildIfStale } = await import('./build.mjs');
    await buildIfStale();
  }
  process.argv.splice(2, 0, 'open');
  createRequire(import.meta.url)(join(root, '.build', 'cli.cjs'));
} catch (error) {
  console.error(error.message);
  process.exitCode = 1;
}

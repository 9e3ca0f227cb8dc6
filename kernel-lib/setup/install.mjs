// Installs what package-lock.json asks for, only when node_modules does not hold it yet.
import { spawn } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { root } from './places.mjs';

function lockedPackages(path) {
  if (!existsSync(path)) return {};
  return JSON.parse(readFileSync(path, 'utf8')).packages ?? {};
}

/** Packages of the lock that node_modules lacks or holds in another version; optional ones may be absent. */
export function missingPackages() {
  const wanted = lockedPackages(join(root, 'package-lock.json'));
  const present = lockedPackages(join(root, 'node_modules', '.package-lock.json'));
  return Object.keys(wanted).filter(
    (name) =>
      name !== '' &&
      !wanted[name].optional &&
      !wanted[name].link &&
      (present[name]?.version !== wanted[name].version || !existsSync(join(root, name))),
  );
}

/** Run npm with these words in a folder; rejects when it fails. */
export function runNpm(args, cwd = root) {
  // Under `npm start` npm tells where it lives; running it by node avoids the shell that Windows would need.
  const npm = process.env.npm_execpath;
  const child = npm?.endsWith('.js')
    ? spawn(process.execPath, [npm, ...args], { cwd, stdio: ['ignore', 2, 2] })
    : spawn('npm', args, {
        cwd,
        stdio: ['ignore', 2, 2],
        shell: process.platform === 'win32',
      });
  return new Promise((done, fail) => {
    child.once('error', fail);
    child.once('exit', (code) => (code === 0 ? done() : fail(new Error(`npm ended with ${code}`))));
  });
}

/** Install unless everything is there. */
export async function installIfMissing() {
  const missing = missingPackages();
  if (missing.length === 0) return;
  console.error(`Installing ${missing.length} packages (once, about a minute) …`);
  try {
    await runNpm(['ci', '--no-audit', '--no-fund', '--loglevel=error']);
  } catch (error) {
    throw new Error(
      `The packages could not be installed (${error.message}). Check that this machine reaches the npm registry and that the folder can be written, then try again.`,
    );
  }
}

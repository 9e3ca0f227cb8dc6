// Installs what package-lock.json asks for, only when node_modules does not hold it yet.
import { spawn } from 'node:child_process';
import { accessSync, constants, existsSync, readFileSync } from 'node:fs';
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

function startNpm(args, cwd, stdio) {
  // Under `npm start` npm tells where it lives; running it by node avoids the shell that Windows would need.
  const npm = process.env.npm_execpath;
  return npm?.endsWith('.js')
    ? spawn(process.execPath, [npm, ...args], { cwd, stdio })
    : spawn('npm', args, { cwd, stdio, shell: process.platform === 'win32' });
}

const ended = (child) =>
  new Promise((done, fail) => {
    child.once('error', fail);
    child.once('exit', (code) => done(code ?? 1));
  });

/** Run npm with these arguments in a folder; rejects when it fails. */
export async function runNpm(args, cwd = root) {
  const code = await ended(startNpm(args, cwd, ['ignore', 2, 2]));
  if (code !== 0) throw new Error(`npm ended with ${code}`);
}

/** Whether the registry answers within some seconds; npm itself would try for minutes, and end in a page of its own words. */
async function reachesRegistry() {
  const args = ['view', 'tslab', 'version', '--fetch-retries=0', '--fetch-timeout=7000'];
  const child = startNpm(args, root, 'ignore');
  const tooLong = setTimeout(() => child.kill(), 8000);
  const code = await ended(child);
  clearTimeout(tooLong);
  return code === 0;
}

const quietly = ['--no-audit', '--no-fund', '--loglevel=error'];

/** Install unless everything is there. @throws Error with a sentence for a person */
export async function installIfMissing() {
  const missing = missingPackages();
  if (missing.length === 0) return;
  requireWritable(root);
  console.error(`Installing ${missing.length} packages (once, about a minute) …`);
  if (await reachesRegistry()) return install(['ci', ...quietly]);
  // What npm kept from an earlier time may be enough.
  const kept = await ended(startNpm(['ci', '--offline', ...quietly], root, 'ignore'));
  if (kept !== 0)
    throw new Error(
      'The packages cannot be fetched: the npm registry does not answer. The first start needs the internet. Connect, or set the proxy or registry of your institution (npm config set proxy …, npm config set registry …), then try again.',
    );
}

async function install(args) {
  try {
    await runNpm(args);
  } catch (error) {
    throw new Error(
      `The packages could not be installed (${error.message}); npm's own words stand above. Check the space on the disk and the connection, then try again.`,
    );
  }
}

function requireWritable(folder) {
  try {
    accessSync(folder, constants.W_OK);
  } catch {
    throw new Error(
      `Packages are missing, and ${folder} cannot be written by this account. Let whoever owns it run npm ci there once, or copy the folder to a place of your own.`,
    );
  }
}

import { spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { root } from './places.mjs';

/** The script that a package of node_modules in `from` runs as `name`. */
export function toolScript(packageName, name, from = root) {
  const manifest = join(from, 'node_modules', packageName, 'package.json');
  const { bin } = JSON.parse(readFileSync(manifest, 'utf8'));
  return join(dirname(manifest), typeof bin === 'string' ? bin : bin[name]);
}

/** Run a package's script with this very Node, without a shell. Resolves with its exit code. */
export function runTool(packageName, name, args, { from = root, env = process.env } = {}) {
  const child = spawn(process.execPath, [toolScript(packageName, name, from), ...args], {
    cwd: root,
    env,
    stdio: 'inherit',
  });
  return new Promise((done, fail) => {
    child.once('error', fail);
    child.once('exit', (code) => done(code ?? 1));
  });
}

/** The same with nothing shown meanwhile. Resolves with the exit code and all that was said. */
export function runToolQuietly(packageName, name, args) {
  const child = spawn(process.execPath, [toolScript(packageName, name), ...args], { cwd: root });
  let said = '';
  for (const stream of [child.stdout, child.stderr])
    stream.setEncoding('utf8').on('data', (piece) => {
      said += piece;
    });
  return new Promise((done, fail) => {
    child.once('error', fail);
    child.once('close', (code) => done({ code: code ?? 1, said }));
  });
}

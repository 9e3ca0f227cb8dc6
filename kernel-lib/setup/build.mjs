// Bundles and type declarations, made only when a source is newer than the last build.
import { spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  accessSync,
  constants,
  cpSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { createRequire } from 'node:module';
import { basename, join, relative } from 'node:path';
import { bundles } from './bundles.mjs';
import { isMain, root } from './places.mjs';
import { writeSheetTypes } from './sheet-types.mjs';

const stampName = join('.build', 'built.json');
const stamp = join(root, stampName);
const sources = ['kernel-lib', 'worksheets', 'data', 'package-lock.json', 'tsconfig.json'];

function newest(path) {
  const info = statSync(path);
  if (!info.isDirectory()) return info.mtimeMs;
  const inside = readdirSync(path).map((name) => newest(join(path, name)));
  return Math.max(info.mtimeMs, ...inside);
}

/** True when a source in `home` changed, or a file came or went, since the last build there. */
export function isStale(home = root) {
  const built = join(home, stampName);
  if (!existsSync(built)) return true;
  const { mtimeMs } = statSync(built);
  return sources.some((name) => newest(join(home, name)) > mtimeMs);
}

/** A name for a build: another one where any source differs. */
function buildName() {
  const hash = createHash('sha256');
  const add = (path) => {
    if (statSync(path).isDirectory())
      for (const name of readdirSync(path).sort()) add(join(path, name));
    else hash.update(relative(root, path)).update('\0').update(readFileSync(path)).update('\0');
  };
  for (const name of sources) add(join(root, name));
  return hash.digest('base64');
}

/** Make the sheets' notebooks of their texts and, with the declarations of this build, their own cells ready to run. */
function makeSheets(words) {
  const made = spawn(process.execPath, [join(root, '.build', 'make-sheets.cjs'), ...words], {
    stdio: 'inherit',
  });
  return new Promise((done, fail) => {
    made.once('error', fail);
    made.once('exit', (code) =>
      code === 0 ? done() : fail(new Error('Not every sheet could be made, see above.')),
    );
  });
}

function declareTypes(folder) {
  const tsc = createRequire(import.meta.url).resolve('typescript/bin/tsc');
  const options = ['-p', 'kernel-lib/setup/tsconfig.types.json', '--outDir', folder];
  return new Promise((done, fail) => {
    const child = spawn(process.execPath, [tsc, ...options], { cwd: root, stdio: 'inherit' });
    child.once('error', fail);
    child.once('exit', (code) =>
      code === 0 ? done() : fail(new Error('The library does not type-check; see above.')),
    );
  });
}

/**
 * The library's declarations with the givens of all sheets in them. They come into their place whole: a kernel that
 * starts meanwhile would otherwise keep the empty list of givens that the compiler writes first.
 *
 * @param declare has the compiler write the library's declarations into a folder
 */
export async function buildTypes(folder = join(root, '.build', 'types'), declare = declareTypes) {
  const [fresh, old] = [`${folder}.new`, `${folder}.old`];
  for (const left of [fresh, old]) rmSync(left, { recursive: true, force: true });
  await declare(fresh);
  const { default: ts } = await import('typescript');
  writeSheetTypes(ts, join(root, 'worksheets'), fresh);
  if (existsSync(folder)) renameSync(folder, old);
  renameSync(fresh, folder);
  rmSync(old, { recursive: true, force: true });
}

function copyPage() {
  const page = join(root, '.build', 'page');
  mkdirSync(page, { recursive: true });
  const html = join(root, 'kernel-lib', 'page', 'index.html');
  if (existsSync(html)) cpSync(html, join(page, 'index.html'));
  const plotly = join(root, 'node_modules', 'plotly.js-dist-min', 'plotly.min.js');
  cpSync(plotly, join(page, 'plotly.min.js'));
  const marking = join(root, 'kernel-lib', 'page', 'view', 'marking', 'index.html');
  cpSync(marking, join(root, '.build', 'marking', 'index.html'));
  const room = join(root, 'kernel-lib', 'page', 'bench', 'phone.html');
  cpSync(room, join(root, '.build', 'room', 'index.html'));
}

const sitePages = ['index.html', 'runner.html', 'one-file.html'];

function copySite() {
  for (const name of sitePages)
    cpSync(join(root, 'kernel-lib', 'web', name), join(root, '.build', 'web', name));
}

/** Only what has lost its source goes: a desk that is open meanwhile keeps its sheets. */
function dropGoneSheets() {
  const made = join(root, '.build', 'worksheets');
  if (!existsSync(made)) return;
  const parts = {
    'sheet.cjs': 'sheet.ts',
    'key.cjs': 'key.ts',
    'sheet.ipynb': 'sheet.md',
    'ahead.json': 'sheet.md',
  };
  for (const name of readdirSync(made)) {
    const source = join(root, 'worksheets', name);
    if (!existsSync(source)) rmSync(join(made, name), { recursive: true, force: true });
    else
      for (const [part, from] of Object.entries(parts))
        if (!existsSync(join(source, from))) rmSync(join(made, name, part), { force: true });
  }
}

/** Pieces of the page and of the site carry a digest in their names, so those of earlier builds would pile up. */
function dropOldPieces(outputs) {
  const current = new Set(outputs.map((path) => basename(path)));
  for (const name of [...sitePages, 'plotly.min.js', 'sheets']) current.add(name);
  // Made after the bundles, and only where their cells changed.
  for (const name of readdirSync(join(root, 'worksheets'))) current.add(`${name}-ahead.json`);
  for (const folder of ['page', 'web', 'web/sheets']) {
    const made = join(root, '.build', folder);
    for (const name of readdirSync(made)) if (!current.has(name)) rmSync(join(made, name));
  }
}

/** Build everything; `types: false` leaves the declarations out, for quick trials. */
export async function build({ types = true } = {}) {
  const started = Date.now();
  const { build: bundle, stop } = await import('esbuild');
  rmSync(stamp, { force: true });
  mkdirSync(join(root, '.build'), { recursive: true });
  dropGoneSheets();
  const typing = types ? buildTypes() : Promise.resolve();
  const name = buildName();
  const made = bundles(name).map((options) => bundle({ ...options, metafile: true }));
  await Promise.all([typing, ...made]);
  copyPage();
  copySite();
  dropOldPieces((await Promise.all(made)).flatMap(({ metafile }) => Object.keys(metafile.outputs)));
  await makeSheets(types ? [name] : []);
  // An installed package has no package-lock.json, which npm leaves out; hand-outs are made from it.
  cpSync(join(root, 'package-lock.json'), join(root, '.build', 'lock.json'));
  await stop();
  if (types) writeFileSync(stamp, `${JSON.stringify({ built: new Date(started) })}\n`);
}

/** Whether this account can make the build anew. */
function mayWrite() {
  const made = join(root, '.build');
  try {
    for (const path of existsSync(made)
      ? [made, ...readdirSync(made).map((name) => join(made, name))]
      : [root])
      accessSync(path, constants.W_OK);
    return true;
  } catch {
    return false;
  }
}

/** Build if a source is newer; in a folder that one may not write, say that it is not. Says so on standard error, since it takes some seconds. */
export async function buildIfStale() {
  if (!isStale()) return;
  if (!mayWrite()) {
    if (!existsSync(stamp))
      throw new Error(
        `multislit is not built yet, and ${root} cannot be written by this account. Let whoever owns it run npm run build there once, or copy the folder to a place of your own.`,
      );
    console.error(
      `A source is newer than the build, and ${root} cannot be written by this account: the build of ${statSync(stamp).mtime.toLocaleString()} is started.`,
    );
    return;
  }
  console.error('Building multislit (some seconds, only after a change) …');
  await build();
}

if (isMain(import.meta.url)) {
  try {
    if (process.argv.includes('--if-stale')) await buildIfStale();
    else await build({ types: !process.argv.includes('--no-types') });
  } catch (error) {
    console.error(`The build failed: ${error.message}`);
    process.exitCode = 1;
  }
}

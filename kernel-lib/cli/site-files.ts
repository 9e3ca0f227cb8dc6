import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { escapeText } from '../display/bundle';
import { built, home, homeRequire } from '../kernel/home';
import { findSheet } from '../kernel/sheets';
import { readNotebook } from '../notebook/read-notebook';
import { listedQuestion } from '../travels/standing';
import type { Files, SheetPlaces } from './hand-out-files';
import { blankNotebook, libraryTypes, usedPageFiles } from './hand-out-files';
import { iconPng, iconSvg } from './site-icon';

/** Where a sheet lies on the site. Endings that every server knows. */
export const sitePlaces = (name: string): SheetPlaces => ({
  notebook: `sheets/${name}.json`,
  program: `sheets/${name}.js`,
});

/** What the build makes of `web/` that no page asks for by itself: it is put together here. */
const toPutTogether = [
  ...['index.html', 'runner.html', 'frame.js', 'service-worker.js'],
  ...['one-file.html', 'one-file.js', 'one-file-app.js'],
];

/**
 * The parts of a site by the names under which `web/site.ts` asks for them. Of a sheet what a hand-out has, and no
 * more.
 */
export function siteParts(sheets: readonly string[]): Files {
  const parts: Files = new Map();
  for (const { name, isFile } of webFiles())
    if (isFile && !toPutTogether.includes(name)) parts.set(`page/${name}`, made(name));
  for (const name of [...usedPageFiles('app-style.css'), 'plotly.min.js'])
    parts.set(`page/${name}`, readFileSync(built(`page/${name}`)));
  parts.set('page/runner.html', runnerPage());
  for (const name of sheets) {
    const { notebook, program } = sitePlaces(name);
    parts.set(notebook, blankNotebook(name));
    parts.set(program, made(`sheets/${name}.js`));
    parts.set(`sheets/${name}-ahead.json`, made(`sheets/${name}-ahead.json`));
  }
  parts.set('sheets.json', json(sheets.map(siteSheet)));
  parts.set('types.json', json(compilerFiles(sheets)));
  parts.set('bench.txt', readFileSync(built('bench-cell.js')));
  return parts;
}

/** Files of a site that have one name in all versions: a server should not let browsers keep them for long. */
const unnamed = ['index.html', 'service-worker.js'];

/** Every file of a site that needs nothing but a browser: its parts, named by what they hold, and what holds them together. */
export function siteFiles(parts: Files, course = 'Diffraction worksheets'): Files {
  const files: Files = new Map();
  const names = new Map<string, string>();
  const add = (path: string, content: string | Uint8Array) => {
    const name = namedByContent(path, content);
    names.set(path, name);
    files.set(name, content);
  };
  for (const [path, content] of parts) add(path, content);
  add('icon.svg', iconSvg());
  for (const side of iconSides) add(`icon-${side}.png`, iconPng(side));
  add('manifest.json', json(manifest(course, names)));
  files.set('index.html', indexPage(names));
  files.set('service-worker.js', serviceWorker(files));
  files.set('licence.txt', readFileSync(join(home, 'LICENSE')));
  files.set('third-party.txt', readFileSync(join(home, 'data', 'THIRD-PARTY.txt')));
  files.set('sources.txt', readFileSync(join(home, 'data', 'SOURCES.md')));
  return files;
}

const made = (name: string) => readFileSync(built(`web/${name}`));

const sha256 = (content: string | Uint8Array) => createHash('sha256').update(content);
export const integrityOf = (content: string | Uint8Array) =>
  `sha256-${sha256(content).digest('base64')}`;

/** `page/app.js` becomes `page/app-5f0c1d2e3b.js`; what the bundler named so already keeps its name, which others hold. */
function namedByContent(path: string, content: string | Uint8Array): string {
  if (/-[A-Z0-9]{8}\.\w+$/.test(path)) return path;
  return path.replace(/(?=\.\w+$)/, `-${sha256(content).digest('hex').slice(0, 10)}`);
}

/** Fonts that no browser asks for which runs the page: it has a better form of each. */
const isOldFont = (path: string) => /\.(?:woff|ttf)$/.test(path);

function indexPage(names: ReadonlyMap<string, string>): string {
  const asked = [...names].filter(([path]) => !/\.(?:woff2?|ttf|png|svg)$/.test(path));
  const parts = escapeText(JSON.stringify(Object.fromEntries(asked)));
  return String(made('index.html'))
    .replace(/(?<=(?:src|href)=")[^"]+(?=")/g, (path) => names.get(path) ?? path)
    .replace('{{parts}}', () => parts);
}

/** The document around the frame in which cells run, with that frame's one script and its digest. */
function runnerPage(): string {
  const script = made('frame.js');
  return String(made('runner.html'))
    .replace('{{digest}}', integrityOf(script))
    .replace('{{frame}}', () => escapeText(frameDocument(String(script))));
}

/** What the frame holds: one script. @param isDirect the page is its parent, with nothing between */
export const frameDocument = (script: string, isDirect = false): string =>
  `<!doctype html><html${isDirect ? ' data-direct' : ''}><meta charset="utf-8"><title>Runs cells</title><script>${script}</script>`;

/** Larger than all else that compresses, and asked for only by who moves a figure. */
const isForMoving = (path: string) => /plotly\.min(?:-\w+)?\.js$/.test(path);

function serviceWorker(files: Files): string {
  const parts = [...files].filter(([path]) => !unnamed.includes(path) && !isOldFont(path));
  const withDigests = (list: typeof parts) =>
    list.map(([path, content]) => [path, integrityOf(content)]);
  const site = {
    index: { digest: integrityOf(files.get('index.html') ?? '') },
    parts: withDigests(parts.filter(([path]) => !isForMoving(path))),
    later: withDigests(parts.filter(([path]) => isForMoving(path))),
  };
  return `const site = ${JSON.stringify(site)};\n${made('service-worker.js')}`;
}

const iconSides = [180, 192, 512];

/** What a browser needs to know to put the site among a device's programs. */
function manifest(course: string, names: ReadonlyMap<string, string>) {
  const pngs = [192, 512].map((side) => ({
    src: names.get(`icon-${side}.png`),
    sizes: `${side}x${side}`,
    type: 'image/png',
  }));
  const svg = { src: names.get('icon.svg'), sizes: 'any', type: 'image/svg+xml' };
  return {
    name: course,
    short_name: 'Worksheets',
    description: 'Slits, gratings and the light behind them.',
    lang: 'en',
    id: './',
    start_url: './',
    scope: './',
    display: 'standalone',
    background_color: '#e9e6dd',
    theme_color: '#e9e6dd',
    icons: [svg, ...pngs, ...pngs.map((icon) => ({ ...icon, purpose: 'maskable' }))],
  };
}

const json = (value: unknown) => `${JSON.stringify(value)}\n`;

function webFiles(): { name: string; isFile: boolean }[] {
  const entries = readdirSync(built('web'), { withFileTypes: true });
  return entries.map((entry) => ({ name: entry.name, isFile: entry.isFile() }));
}

/** What the front page tells of a sheet: see `web/site.ts`. */
function siteSheet(name: string) {
  const sheet = findSheet(name);
  if (!sheet) throw new Error(`The sheet "${name}" is not built.`);
  const notebook = readNotebook(blankNotebook(name));
  const questions = sheet.questions.map((question) => listedQuestion(question, notebook));
  return { name, title: sheet.title, questions };
}

/** The disk that the compiler sees in the browser, as `web/checker.ts` has it: the language and the library. */
function compilerFiles(sheets: readonly string[]): Record<string, string> {
  const fromTslab = createRequire(homeRequire.resolve('tslab/package.json'));
  const folder = dirname(fromTslab.resolve('@tslab/typescript-for-tslab'));
  const language: Record<string, string> = {};
  const add = (name: string): void => {
    if (language[name] !== undefined) return;
    language[name] = readFileSync(join(folder, name), 'utf8');
    for (const [, other] of language[name].matchAll(/<reference lib="([\w.]+)"/g))
      add(`lib.${other}.d.ts`);
  };
  add('lib.es2022.d.ts');
  const program = { name: 'multislit', version: '0.0.0', types: './.build/types/index.d.ts' };
  return {
    '/multislit/package.json': JSON.stringify(program),
    ...Object.fromEntries(
      Object.entries(language).map(([name, text]) => [
        `/multislit/node_modules/@tslab/typescript-for-tslab/lib/${name}`,
        text,
      ]),
    ),
    ...Object.fromEntries(
      [...libraryTypes(sheets)].map(([path, text]) => [`/multislit/${path}`, String(text)]),
    ),
  };
}

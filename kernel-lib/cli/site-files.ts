import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { built, home, homeRequire } from '../kernel/home';
import { benchScript } from '../kernel/node-host';
import { findSheet } from '../kernel/sheets';
import { readNotebook } from '../notebook/read-notebook';
import { listedQuestion } from '../travels/standing';
import type { Files, SheetPlaces } from './hand-out-files';
import { blankNotebook, libraryTypes, usedPageFiles } from './hand-out-files';

/** Where a sheet lies on the site. Endings that every server knows. */
export const sitePlaces = (name: string): SheetPlaces => ({
  notebook: `sheets/${name}.json`,
  program: `sheets/${name}.js`,
});

/** What of `.build/web` lies beside index.html; all else goes into `page/`. */
const atTop = ['index.html', 'runner.html'];

/** Every file of a site that needs nothing but a browser: see `web/`. Of a sheet what a hand-out has, and no more. */
export function siteFiles(sheets: readonly string[]): Files {
  const files: Files = new Map();
  const made = (name: string) => readFileSync(built(`web/${name}`));
  for (const name of atTop) files.set(name, made(name));
  for (const { name, isFile } of webFiles())
    if (isFile && !atTop.includes(name)) files.set(`page/${name}`, made(name));
  for (const name of [...usedPageFiles('app-style.css'), 'plotly.min.js'])
    files.set(`page/${name}`, readFileSync(built(`page/${name}`)));
  for (const name of sheets) {
    const { notebook, program } = sitePlaces(name);
    files.set(notebook, blankNotebook(name));
    files.set(program, made(`sheets/${name}.js`));
    files.set(`sheets/${name}-ahead.json`, made(`sheets/${name}-ahead.json`));
  }
  files.set('sheets.json', json(sheets.map(siteSheet)));
  files.set('types.json', json(compilerFiles(sheets)));
  files.set('bench.txt', benchScript() ?? '');
  files.set('licence.txt', readFileSync(join(home, 'LICENSE')));
  files.set('third-party.txt', readFileSync(join(home, 'data', 'THIRD-PARTY.txt')));
  files.set('sources.txt', readFileSync(join(home, 'data', 'SOURCES.md')));
  return files;
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

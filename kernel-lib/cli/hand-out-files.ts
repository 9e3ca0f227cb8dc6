import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { built, home, homeRequire } from '../kernel/home';
import { originalNotebook } from '../kernel/sheets';
import { withoutOutputs } from '../notebook/original-with-work';
import { withStudentNumber } from '../notebook/student-number';
import { writeNotebook } from '../notebook/write';
import { sampleStudent } from '../questions/student-number';
import { readNotebookFile } from './files';
import type { HandOutFacts } from './hand-out-facts';
import { handOutPackages } from './hand-out-packages';
import { handOutReadme } from './hand-out-readme';

/** Contents by path, with `/` between folders. */
export type Files = Map<string, string | Uint8Array>;

const setUp = ['start', 'multislit', 'install', 'places', 'node-version'].map(
  (name) => `kernel-lib/setup/${name}.mjs`,
);
const licences = ['LICENSE', 'data/THIRD-PARTY.txt', 'data/SOURCES.md'];
const bundles = ['index.cjs', 'cli.cjs', 'kernel.cjs', 'control-worker.cjs', 'bench-cell.js'];

/** The page's files that are in use: what index.html names, and what these name in turn. */
function pageFiles(): string[] {
  const folder = built('page');
  const names = readdirSync(folder);
  const used = new Set(['index.html']);
  for (const name of used) {
    if (!/\.(html|js|css)$/.test(name) || name === 'plotly.min.js') continue;
    const text = readFileSync(join(folder, name), 'utf8');
    for (const other of names) if (text.includes(other)) used.add(other);
  }
  return [...used];
}

function typeFiles(): string[] {
  const all = readdirSync(built('types'), { recursive: true, encoding: 'utf8' });
  return all.map((name) => name.replaceAll('\\', '/')).filter((name) => name.endsWith('.d.ts'));
}

/** The types tell of no sheet that is not handed out, not even its name. */
function withoutOtherSheets(files: Files, sheets: readonly string[]): void {
  const folder = '.build/types/questions';
  const [givens, all] = [`${folder}/givens/`, `${folder}/sheet-givens.d.ts`];
  for (const path of [...files.keys()])
    if (path.startsWith(givens) && !sheets.includes(path.slice(givens.length, -'.d.ts'.length)))
      files.delete(path);
  const lines = String(files.get(all)).split('\n');
  const kept = lines.filter((line) => {
    const name = /^ {2}'(.+?)':/.exec(line)?.[1];
    return name === undefined || sheets.includes(name);
  });
  files.set(all, kept.join('\n'));
}

/** Every file of a hand-out. Of a sheet only what students may have: the notebook, unanswered, and sheet.cjs. */
export function handOutFiles(facts: HandOutFacts): Files {
  const files: Files = new Map();
  const copy = (path: string) => files.set(path, readFileSync(join(home, path)));
  for (const path of [...setUp, ...licences]) copy(path);
  for (const name of bundles) copy(`.build/${name}`);
  for (const name of typeFiles()) copy(`.build/types/${name}`);
  withoutOtherSheets(files, facts.sheets);
  for (const name of pageFiles()) copy(`.build/page/${name}`);
  for (const name of facts.sheets) {
    const path = originalNotebook(name);
    if (!path || !existsSync(path)) throw new Error(`The sheet "${name}" is not built.`);
    const blank = withStudentNumber(withoutOutputs(readNotebookFile(path)), sampleStudent);
    files.set(`.build/worksheets/${name}/sheet.ipynb`, writeNotebook(blank));
    copy(`.build/worksheets/${name}/sheet.cjs`);
  }
  const { manifest, lock } = handOutPackages(facts);
  files.set('package.json', `${JSON.stringify(manifest, null, 2)}\n`);
  files.set('package-lock.json', `${JSON.stringify(lock, null, 2)}\n`);
  const titles = facts.sheets.map((name) => titleOf(name));
  files.set('README.md', handOutReadme(facts, titles));
  return files;
}

const titleOf = (name: string): string =>
  homeRequire(built(`worksheets/${name}/sheet.cjs`)).default.title;

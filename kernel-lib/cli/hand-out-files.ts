import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { readNotebookFile } from '../kernel/files';
import { built, home, homeRequire } from '../kernel/home';
import { originalNotebook } from '../kernel/sheets';
import { type HandOutFacts, readableTime } from '../marker/hand-out-facts';
import {
  cellById,
  type Notebook,
  sourceOf,
  withoutOutputs,
  withStudentNumber,
} from '../notebook/notebook';
import { readNotebook } from '../notebook/read-notebook';
import { writeNotebook } from '../notebook/write-notebook';
import type { AnyKey } from '../questions/sheet';
import { sampleStudent } from '../questions/student-number';

/** Contents by path, with `/` between folders. */
export type Files = Map<string, string | Uint8Array>;

/** What the handed-out bundles load from node_modules; everything else is bundled (setup/bundles.mjs: external). */
const runTime = ['@types/node', 'tslab', 'zeromq'];

const setUp = ['start', 'multislit', 'install', 'places', 'node-version'].map(
  (name) => `kernel-lib/setup/${name}.mjs`,
);

const licences = ['LICENSE', 'data/THIRD-PARTY.txt', 'data/SOURCES.md'];

const bundles = ['index.cjs', 'cli.cjs', 'kernel.cjs', 'control-worker.cjs', 'bench-cell.js'];

/** Every file of a hand-out. Of a sheet only what students may have: the notebook, unanswered, and sheet.cjs. */
export function handOutFiles(facts: HandOutFacts): Files {
  const files: Files = new Map();
  const copy = (path: string) => files.set(path, readFileSync(join(home, path)));
  for (const path of [...setUp, ...licences]) copy(path);
  for (const name of bundles) copy(`.build/${name}`);
  for (const [path, text] of libraryTypes(facts.sheets)) files.set(path, text);
  for (const name of usedPageFiles('index.html')) copy(`.build/page/${name}`);
  for (const name of facts.sheets) {
    files.set(`.build/worksheets/${name}/sheet.ipynb`, blankNotebook(name));
    copy(`.build/worksheets/${name}/sheet.cjs`);
    copy(`.build/worksheets/${name}/ahead.json`);
  }
  const { manifest, lock } = handOutPackages(facts);
  files.set('package.json', `${JSON.stringify(manifest, null, 2)}\n`);
  files.set('package-lock.json', `${JSON.stringify(lock, null, 2)}\n`);
  const titles = facts.sheets.map((name) => titleOf(name));
  files.set('README.md', handOutReadme(facts, titles));
  return files;
}

/** The text of a sheet's notebook as students receive it. */
export function blankNotebook(name: string): string {
  const path = originalNotebook(name);
  if (!path || !existsSync(path)) throw new Error(`The sheet "${name}" is not built.`);
  return writeNotebook(withStudentNumber(withoutOutputs(readNotebookFile(path)), sampleStudent));
}

const titleOf = (name: string): string =>
  homeRequire(built(`worksheets/${name}/sheet.cjs`)).default.title;

/** The page's files that are in use: what the first one names, and what these name in turn. */
export function usedPageFiles(first: string): string[] {
  const folder = built('page');
  const names = readdirSync(folder);
  const used = new Set([first]);
  for (const name of used) {
    if (!/\.(html|js|css)$/.test(name) || name === 'plotly.min.js') continue;
    const text = readFileSync(join(folder, name), 'utf8');
    for (const other of names) if (text.includes(other)) used.add(other);
  }
  return [...used];
}

/** The library's types, by path from the project's root. */
export function libraryTypes(sheets: readonly string[]): Files {
  const all = readdirSync(built('types'), { recursive: true, encoding: 'utf8' });
  const names = all.map((name) => name.replaceAll('\\', '/'));
  const files: Files = new Map();
  for (const name of names.filter((each) => each.endsWith('.d.ts')))
    files.set(`.build/types/${name}`, readFileSync(built(`types/${name}`), 'utf8'));
  withoutOtherSheets(files, sheets);
  return files;
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

interface LockedPackage {
  readonly version?: string;
  readonly dependencies?: Readonly<Record<string, string>>;
  readonly optionalDependencies?: Readonly<Record<string, string>>;
  readonly [field: string]: unknown;
}

type Packages = Readonly<Record<string, LockedPackage>>;

const readJson = (path: string) => JSON.parse(readFileSync(path, 'utf8'));

/** Where the package at `from` finds `name`: in its own node_modules, else in those above it. */
function place(packages: Packages, from: string, name: string): string | undefined {
  for (let folder = from; ; ) {
    const path = `${folder === '' ? '' : `${folder}/`}node_modules/${name}`;
    if (packages[path]) return path;
    if (folder === '') return undefined;
    folder = folder.slice(0, Math.max(0, folder.lastIndexOf('/node_modules/')));
  }
}

/** All that the packages at `paths` need, themselves included. */
function needed(packages: Packages, paths: readonly string[], alsoOptional: boolean): Set<string> {
  const found = new Set<string>(paths);
  for (const path of found) {
    const { dependencies = {}, optionalDependencies = {} } = packages[path];
    for (const name of Object.keys({ ...dependencies, ...optionalDependencies })) {
      const isOptional = Object.hasOwn(optionalDependencies, name);
      if (isOptional && !alsoOptional) continue;
      const at = place(packages, path, name);
      if (at) found.add(at);
      else if (!isOptional)
        throw new Error(`package-lock.json does not say which ${name} belongs to ${path}.`);
    }
  }
  return found;
}

interface HandOutPackages {
  readonly manifest: object;
  readonly lock: object;
}

/**
 * package.json and package-lock.json of a hand-out: only what runs there, at this project's own versions.
 *
 * @param more what package.json tells besides, under `multislit`
 */
function handOutPackages(more: object): HandOutPackages {
  const { name, version, license, type, engines, bin, exports, types, allowScripts } = readJson(
    join(home, 'package.json'),
  );
  const { packages } = readJson(built('lock.json')) as { packages: Packages };
  const tops = runTime.map((each) => `node_modules/${each}`);
  const must = needed(packages, tops, false);
  const entries = [...needed(packages, tops, true)].sort().map((path) => {
    const { dev, optional, devOptional, peer, ...entry } = packages[path];
    return [path, must.has(path) ? entry : { ...entry, optional: true }] as const;
  });
  const dependencies = Object.fromEntries(
    runTime.map((each, i) => [each, packages[tops[i]].version]),
  );
  const own = { name, version, license, dependencies, bin, engines };
  return {
    manifest: {
      name,
      version,
      private: true,
      license,
      type,
      engines,
      bin,
      exports,
      types,
      scripts: { start: 'node kernel-lib/setup/start.mjs' },
      dependencies,
      allowScripts,
      multislit: more,
    },
    lock: {
      name,
      version,
      lockfileVersion: 3,
      requires: true,
      packages: { '': own, ...Object.fromEntries(entries) },
    },
  };
}

/** What the student reads first. */
function handOutReadme({ course, deadline }: HandOutFacts, titles: readonly string[]): string {
  const due = deadline === undefined ? '' : `\nHand in by **${readableTime(deadline)}**.\n`;
  return `# ${course ?? 'Worksheets on diffraction'}

1. Install Node.js: the version that its download page recommends (LTS), at least 20.19.
2. In a terminal, in this folder: \`npm start\`. If PowerShell on Windows says that running scripts is disabled, type
   \`npm.cmd start\`.

The first start fetches some packages from the internet (once, about a minute); then the worksheets open in your
browser. Type your student number once. Ctrl-C in the terminal ends.

${titles.map((title) => `- ${title}`).join('\n')}
${due}
Your copies lie in the folder \`multislit\` in your home folder, or wherever \`npm start -- FOLDER\` says. They are saved
as you work. To hand in, press *Hand in* at the top of the sheet: it shows what is still open and makes the one file to
send. The sheet's \`.ipynb\` file from your folder will do as well. A check that says *agrees* keeps its marks; asking again
never costs one. Nothing is sent anywhere by this program.

**Take care.** If you try any of this for real: never look along a beam of sunlight or of a laser, nor through a lens or
telescope at the sun or a bright lamp; sunlight gathered by a lens burns. Lamps get hot, mercury lamps give ultraviolet
light, and their supplies carry mains voltage. The rules of your laboratory and its responsible safety officer decide
what may be done.
`;
}

/** Where a sheet lies among the files of a hand-out or of a site. */
export interface SheetPlaces {
  readonly notebook: string;
  readonly program: string;
}

const handOutPlaces = (name: string): SheetPlaces => ({
  notebook: `.build/worksheets/${name}/sheet.ipynb`,
  program: `.build/worksheets/${name}/sheet.cjs`,
});

const plainly = (text: string) => text.replace(/\s+/g, ' ').trim();

/** Lines of the instructor's page that are text, not titles or rows of a table. */
const pageLines = ({ instructor }: AnyKey) =>
  instructor
    .split('\n')
    .map(plainly)
    .filter((line) => line.length > 40 && !/^[#|]/.test(line));

/** The cells of a notebook that hold their own model answer, by id. */
export const answeredCells = ({ model }: AnyKey, notebook: Notebook): string[] =>
  Object.entries(model).flatMap(([id, source]) => {
    const cell = cellById(notebook, id);
    return cell && plainly(sourceOf(cell)) === plainly(source) ? [id] : [];
  });

/**
 * What of a key stands in the sheet that is about to be handed out: a model answer left in the notebook, a sealed
 * formula or a mark scheme in sheet.ts. Sentences; none when all is well.
 *
 * @param places of the notebook and of the sheet's program among the files
 */
export function leaksOf(
  key: AnyKey,
  files: Files,
  places = handOutPlaces(key.sheet.name),
): string[] {
  const { name } = key.sheet;
  const text = (path: string) => String(Buffer.from(files.get(path) ?? ''));
  const notebook = readNotebook(text(places.notebook));
  const found = answeredCells(key, notebook).map(
    (id) => `${name}/sheet.md: cell ${id} holds its model answer.`,
  );
  const sheet = plainly(text(places.program));
  const cells = plainly(notebook.cells.map(sourceOf).join('\n'));
  const secrets = [
    ...Object.values(key.schemes).flatMap((points) => points.map(({ point }) => point)),
    ...pageLines(key),
  ];
  for (const secret of secrets.map(plainly))
    if (sheet.includes(secret) || cells.includes(secret))
      found.push(`${name}: the sheet holds “${secret.slice(0, 60)}” of its key.`);
  for (const { id, kind, ...more } of key.sheet.questions)
    if (kind === 'sealed' && ('expected' in more || 'slips' in more || 'accepts' in more))
      found.push(`${name}/sheet.ts: question ${id} is sealed, but what is expected stands there.`);
  return found;
}

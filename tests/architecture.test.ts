import { readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';
import { expect, test } from 'vitest';
import { edges, folderOf, importsOf, sourceFiles } from '../kernel-lib/setup/floors.mjs';

const home = fileURLToPath(new URL('../kernel-lib', import.meta.url));

/** Which folders each folder may import. Pure folders stand above the blank line, edges below. */
const arrows: Record<string, readonly string[]> = {
  display: [],
  travels: ['display', 'fitting', 'notebook', 'numerics', 'questions'],
  quantity: ['numerics'],
  numerics: [],
  notebook: [],
  aperture: ['quantity', 'numerics'],
  light: ['quantity', 'numerics'],
  camera: ['aperture', 'light', 'quantity', 'numerics'],
  spectrometer: ['quantity', 'numerics'],
  fitting: ['numerics', 'quantity'],
  figures: [
    'aperture',
    'light',
    'camera',
    'spectrometer',
    'fitting',
    'quantity',
    'numerics',
    'display',
  ],
  questions: ['quantity', 'numerics', 'display'],
  marking: ['display', 'questions', 'notebook', 'figures', 'quantity', 'numerics', 'travels'],
  // The engine of the notebook: the same in Node, in a browser and behind the marker's walls.
  cells: ['display', 'figures', 'notebook', 'questions'],

  kernel: ['*'],
  confined: ['*', 'kernel'],
  marker: ['*', 'kernel', 'confined'],
  desk: ['display', 'kernel', 'notebook', 'questions', 'travels'],
  page: ['*pure'],
  web: ['*pure', 'page'],
  markbook: ['*', 'kernel', 'confined', 'marker', 'desk'],
  cli: ['*', 'kernel', 'confined', 'marker', 'desk', 'markbook'],
};
const pure = Object.keys(arrows).slice(0, Object.keys(arrows).indexOf('kernel'));
/** Packages that the pure folders may use; all of them run in a browser too. */
const purePackages = [
  'mathjs',
  'jstat',
  'fast-png',
  '@cwasm/jpeg-turbo',
  'csv-parse',
  'fflate',
  'markdown-it',
  'ajv',
  'ajv-draft-04',
  '@jridgewell/sourcemap-codec',
];

const isLocal = (spec: string) => spec.startsWith('.');
const all = sourceFiles();
const imports = all.flatMap((from) => importsOf(from).map((to) => ({ from, to })));
const inside = imports.filter(({ to }) => isLocal(to));

function allowed(from: string, to: string): boolean {
  if (from === to) return true;
  const list = arrows[from] ?? [];
  if (list.includes(to)) return true;
  return (list.includes('*') || list.includes('*pure')) && pure.includes(to);
}

test('there is code to look at', () => {
  expect(inside.length).toBeGreaterThan(5);
});

test('folders import only along the arrows', () => {
  const wrong = inside
    .map(({ from, to }) => ({ from, target: resolve(dirname(from), to) }))
    .filter(({ target }) => !relative(home, target).startsWith('..'))
    .filter(({ from, target }) => folderOf(from) in arrows && folderOf(target) in arrows)
    .filter(({ from, target }) => !allowed(folderOf(from), folderOf(target)))
    .map(({ from, target }) => `${relative(home, from)} → ${relative(home, target)}`);
  expect(wrong).toEqual([]);
});

test('the picture of the floors paints edges as such', () => {
  expect(Object.keys(arrows).filter((folder) => !pure.includes(folder))).toEqual(edges);
});

test('every folder is on the list of arrows', () => {
  const folders = new Set(all.map(folderOf));
  folders.delete('index');
  expect([...folders].filter((name) => !(name in arrows))).toEqual([]);
});

/** The compiler, and tslab's modules that check and declare by it: for a browser they run over files made of texts. */
const isCompiler = (to: string) => /^(?:@tslab\/|tslab\/|typescript$)/.test(to);
const isConvert = (file: string) => relative(home, file).startsWith(join('cells', 'convert'));

test('pure folders use neither Node nor any package beyond their list, and only cells/convert the compiler', () => {
  const wrong = imports
    .filter(({ from, to }) => pure.includes(folderOf(from)) && !isLocal(to))
    .filter(({ from, to }) => !(isConvert(from) && isCompiler(to)))
    .filter(({ to }) => !purePackages.some((name) => to === name || to.startsWith(`${name}/`)))
    .map(({ from, to }) => `${relative(home, from)} imports ${to}`);
  expect(wrong).toEqual([]);
});

/** What a file takes from the globals of Node or of a page: what it reads a property of, or calls. */
function platformsGlobals(path: string): string[] {
  const file = ts.createSourceFile(path, readFileSync(path, 'utf8'), ts.ScriptTarget.ES2022, true);
  const found: string[] = [];
  const visit = (node: ts.Node): void => {
    const { parent } = node;
    const isUsed =
      ts.isIdentifier(node) &&
      (ts.isPropertyAccessExpression(parent) ||
        ts.isCallExpression(parent) ||
        ts.isNewExpression(parent)) &&
      parent.expression === node;
    if (isUsed && /^(?:process|Buffer|require|document|window|globalThis)$/.test(node.text))
      found.push(`${relative(home, path)}: ${parent.getText()}`);
    ts.forEachChild(node, visit);
  };
  ts.forEachChild(file, visit);
  return found;
}

test('pure folders touch neither process nor the page', () => {
  const purely = all.filter((file) => pure.includes(folderOf(file)));
  expect(purely.flatMap(platformsGlobals)).toEqual([]);
  expect(platformsGlobals(join(home, 'kernel', 'main.ts'))).not.toEqual([]);
});

test('the half of the engine that runs cells does without the compiler', () => {
  const running = all.filter((file) => /^cells[\\/]run/.test(relative(home, file)));
  const holds = /^import (?!type\b)[^;]*\bfrom '[^']*\/convert\//m;
  expect(running.length).toBeGreaterThan(5);
  expect(running.filter((file) => holds.test(readFileSync(file, 'utf8')))).toEqual([]);
});

test('no file imports itself through others', () => {
  const graph = new Map<string, string[]>();
  for (const { from, to } of inside) {
    const target = resolve(dirname(from), to);
    const file = all.find((name) =>
      [`${target}.ts`, `${target}.tsx`, join(target, 'index.ts')].includes(name),
    );
    if (file) graph.set(from, [...(graph.get(from) ?? []), file]);
  }
  const circles: string[] = [];
  const done = new Set<string>();
  const walk = (file: string, path: string[]): void => {
    const at = path.indexOf(file);
    if (at >= 0)
      circles.push([...path.slice(at), file].map((name) => relative(home, name)).join(' → '));
    if (at >= 0 || done.has(file)) return;
    for (const next of graph.get(file) ?? []) walk(next, [...path, file]);
    done.add(file);
  };
  for (const file of graph.keys()) walk(file, []);
  expect(circles).toEqual([]);
});

test('coverage is counted over every pure folder', () => {
  const script = readFileSync(join(home, 'setup', 'coverage.mjs'), 'utf8');
  const counted = /'(\w+(?:,\w+)+)'/.exec(script)?.[1].split(',');
  // Cells run in processes of their own, where nothing counts.
  expect(counted).toEqual(pure.filter((folder) => folder !== 'cells').sort());
});

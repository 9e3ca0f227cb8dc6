// `node kernel-lib/setup/floors.mjs`: draws kernel-lib's folders as floors, from their imports, into data/pictures/floors.svg.
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join, relative, resolve, sep } from 'node:path';
import { isMain, root } from './places.mjs';

const home = join(root, 'kernel-lib');
const picture = join(root, 'data', 'pictures', 'floors.svg');

/** Folders that touch files, processes, sockets or the DOM; all others compute only. */
export const edges = ['kernel', 'confined', 'marker', 'desk', 'page', 'web', 'markbook', 'cli'];

/** Statements at the start of a line, and calls: text that merely speaks of an import does not count. */
const forms = [
  /^(?:import|export)\b[^;'"`]*?\bfrom\s*(['"])([^'"\n]+)\1/gm,
  /^import\s*(['"])([^'"\n]+)\1/gm,
  /\b(?:import|require)\(\s*(['"])([^'"\n]+)\1/g,
];

/** The TypeScript files of kernel-lib. */
export const sourceFiles = () =>
  readdirSync(home, { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.tsx?$/.test(name) && !name.endsWith('.d.ts'))
    .map((name) => join(home, name));

/** What a file imports, as it is written there. */
export function importsOf(file) {
  const text = readFileSync(file, 'utf8').replace(/\/\*[\s\S]*?\*\//g, '');
  return forms.flatMap((form) => [...text.matchAll(form)].map((match) => match[2]));
}

/** The folder of kernel-lib in which a file lies; a file of kernel-lib itself stands for itself. */
export const folderOf = (file) => relative(home, file).split(sep)[0].replace(/\.ts$/, '');

/** Which folders each folder imports from, in the order of the alphabet. */
export function folderImports() {
  const found = new Map();
  for (const file of sourceFiles()) {
    const from = folderOf(file);
    if (!found.has(from)) found.set(from, new Set());
    for (const to of importsOf(file).filter((path) => path.startsWith('.'))) {
      const target = resolve(dirname(file), to);
      if (relative(home, target).startsWith('..') || folderOf(target) === from) continue;
      found.get(from).add(folderOf(target));
    }
  }
  return new Map([...found].sort().map(([from, to]) => [from, [...to].sort()]));
}

/** How many floors lie below each folder. @throws Error when folders import each other in a circle */
function floorsOf(imports) {
  const floors = new Map();
  const floorOf = (folder, path) => {
    if (path.includes(folder))
      throw new Error(`Folders import each other in a circle: ${[...path, folder].join(' → ')}`);
    if (!floors.has(folder)) {
      const below = (imports.get(folder) ?? []).map((each) => floorOf(each, [...path, folder]));
      floors.set(folder, Math.max(-1, ...below) + 1);
    }
    return floors.get(folder);
  };
  for (const folder of imports.keys()) floorOf(folder, []);
  return floors;
}

/** The imports that do not follow from others, so that there is a way for the eye between the boxes. */
function needed(imports) {
  const reaches = (from, to) => {
    const next = imports.get(from) ?? [];
    return next.includes(to) || next.some((each) => reaches(each, to));
  };
  return [...imports].flatMap(([from, list]) =>
    list.filter((to) => !list.some((each) => reaches(each, to))).map((to) => [from, to]),
  );
}

/** The picture as SVG; the same imports give the same text on every machine. */
export async function drawFloors(imports = folderImports()) {
  const floors = floorsOf(imports);
  const levels = [...new Set(floors.values())].sort((a, b) => b - a);
  const on = (level) => [...imports.keys()].filter((folder) => floors.get(folder) === level);
  const box = (folder) =>
    `"${folder}" [fillcolor="${edges.includes(folder) ? '#fbf1dc' : '#e9eef8'}"]`;
  const graph = `digraph floors {
    graph [rankdir=TB, ranksep=0.42, nodesep=0.28, bgcolor=white, pad=0.2, splines=true]
    node [shape=box, style="rounded,filled", color="#33415c", fontname="Helvetica,Arial,sans-serif", fontsize=15, height=0.42, margin="0.22,0.05"]
    edge [color="#6b7a99", arrowsize=0.6]
    ${levels.map((level) => `{ rank=same; ${on(level).map(box).join('; ')} }`).join('\n    ')}
    ${needed(imports)
      .map(([from, to]) => `"${from}" -> "${to}"`)
      .join('\n    ')}
  }`;
  const { instance } = await import('@viz-js/viz');
  const svg = (await instance()).renderString(graph, { format: 'svg' });
  // One title for those who cannot see it, in the place of a name on each box and arrow.
  const titled = svg
    .replace(/ *<title>[^<]*<\/title>\n|<!--[\s\S]*?-->\n/g, '')
    .replace(
      /<svg[^>]*>\n/,
      `$&<title>The folders of kernel-lib, and what each imports from</title>\n`,
    );
  return `${titled.trim()}\n`;
}

if (isMain(import.meta.url)) writeFileSync(picture, await drawFloors());

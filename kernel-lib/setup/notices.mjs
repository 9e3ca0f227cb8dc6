// `npm run notices`: writes data/THIRD-PARTY.txt, the licences of all that the build takes into its bundles.
import './node-version.mjs';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { bundles } from './bundles.mjs';
import { isMain, root } from './places.mjs';

export const noticesFile = join(root, 'data', 'THIRD-PARTY.txt');

/** Packages that are copied into the build as they are. */
const copied = ['node_modules/plotly.js-dist-min'];

/** Packages that come without the text of their licence: who holds the copyright, as their repositories say. */
const holders = {
  // MIT is what builds it; what is built is libjpeg-turbo, which asks for these lines and the three clauses.
  '@cwasm': [
    'Copyright (c) Linus Unnebäck (how it is built: MIT)',
    'Copyright (C) 1991-2019 The libjpeg-turbo Project and many others',
    'This software is based in part on the work of the Independent JPEG Group.',
  ],
  '@jupyterlab': ['Copyright (c) 2015, Project Jupyter'],
  '@lumino': [
    'Copyright (c) 2019 Project Jupyter Contributors',
    'Copyright (c) 2014-2017, PhosphorJS Contributors',
  ],
};

/** Numbers taken over from others; data/SOURCES.md says which. All under the same three clauses. */
const data = [
  ['colour-science/colour', 'Copyright (c) 2013-2017, Colour Developers'],
  [
    'pvlib/pvlib-python',
    'Copyright (c) 2015 pvlib python Contributors',
    'Copyright (c) 2014 PVLIB python Developers',
    'Copyright (c) 2013 Sandia National Laboratories',
  ],
  ['pypeit/PypeIt', 'Copyright (c) 2018-2023, PypeIt Developers'],
  [
    'nbformat',
    'Copyright (c) 2001-2015, IPython Development Team',
    'Copyright (c) 2015, Jupyter Development Team',
  ],
];

const threeClauses = () => readFileSync(join(root, 'data/licences/bsd-3-clause.txt'), 'utf8');

/** Folders in node_modules of which at least a byte stands in a bundle. @returns {Promise<string[]>} */
export async function bundledFolders() {
  const { build } = await import('esbuild');
  const quiet = { write: false, metafile: true, absWorkingDir: root, logLevel: 'silent' };
  const made = await Promise.all(bundles().map((options) => build({ ...options, ...quiet })));
  const outputs = made.flatMap(({ metafile }) => Object.values(metafile.outputs));
  const inputs = outputs.flatMap(({ inputs }) => Object.entries(inputs));
  const folders = inputs
    .filter(([, { bytesInOutput }]) => bytesInOutput > 0)
    .flatMap(([path]) => /^.*node_modules\/(?:@[^/]+\/)?[^/]+(?=\/)/.exec(path)?.[0] ?? []);
  return [...new Set([...copied, ...folders])].sort();
}

/** Name, version, licence and its whole text. @throws Error for a package that grants nothing that we know of */
export function packageNotice(folder) {
  const read = (name) => readFileSync(join(root, folder, name), 'utf8');
  const { name, version, license: named, licenses } = JSON.parse(read('package.json'));
  // Older packages list them: [{ type: 'MIT', url }].
  const license = named ?? licenses?.map(({ type }) => type).join(' or ');
  const files = readdirSync(join(root, folder)).filter((file) =>
    /^(licen[cs]e|copying|notice)/i.test(file),
  );
  const scope = name.split('/')[0];
  if (!license || (files.length === 0 && !holders[scope]))
    throw new Error(`${name} comes without a licence. Look it up, and add who holds it above.`);
  const text =
    files.length > 0
      ? files.sort().map((file) => read(file).replaceAll('\r\n', '\n').trim())
      : [holders[scope].join('\n'), threeClauses().trim()];
  return { title: `${name} ${version} (${license})`, text: text.join('\n\n') };
}

const line = '-'.repeat(78);

/** The whole file; packages whose texts are alike share one. */
export function noticesText(folders) {
  const titles = new Map();
  for (const { title, text } of folders.map(packageNotice))
    titles.set(text, [...(titles.get(text) ?? []), title]);
  const packages = [...titles].map(([text, names]) => `${names.join('\n')}\n\n${text}`);
  const tables = data.map(([name, ...who]) => `${name} (BSD-3-Clause)\n${who.join('\n')}`);
  return `${[
    `multislit contains work of others, with thanks. Written by \`npm run notices\`: every package
of which a part stands in the built program, its licence and the text of it. Packages that
npm installs beside it bring their own. plotly.js is itself a bundle; the package.json in
its repository names what it is made of. Of two licences joined by OR, the later is chosen.`,
    ...packages,
    `Tables and the notebook schema (data/SOURCES.md says what is whose)\n\n${tables.join('\n\n')}\n\n${threeClauses().trim()}`,
  ].join(`\n\n${line}\n\n`)}\n`;
}

if (isMain(import.meta.url)) {
  const folders = await bundledFolders();
  writeFileSync(noticesFile, noticesText(folders));
  console.log(`${folders.length} packages in ${noticesFile}`);
}

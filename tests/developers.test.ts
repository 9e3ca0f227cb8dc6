import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { expect, test } from 'vitest';
import { drawFloors, folderImports } from '../kernel-lib/setup/floors.mjs';
import { root } from '../kernel-lib/setup/places.mjs';

const pages = [
  'DEVELOPERS.md',
  'tests/README.md',
  'tests/MUTANTS.md',
  'kernel-lib/confined/SAFETY.md',
];
const read = (page: string) => readFileSync(join(root, page), 'utf8');

const files = new Set(
  ['kernel-lib', 'tests', 'worksheets'].flatMap((folder) =>
    readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' }).map((path) =>
      basename(path),
    ),
  ),
);

/** What a page names as a file or folder: in code marks, with a folder or an ending; words in capitals stand for any. */
function namedIn(text: string): string[] {
  const plain = text.replace(/```[\s\S]*?```/g, '');
  const marked = [...plain.matchAll(/`([^`\s]+)`/g)].map(([, name]) => name);
  const linked = [...plain.matchAll(/\]\(([^)\s#:]+)[^)]*\)/g)].map(([, name]) => name);
  return (
    [...marked, ...linked]
      .filter((name) => /^[\w.-]+(\/[\w.-]+)*\/?$/.test(name))
      // What marking writes, such as returns.csv, is no file of the project.
      .filter((name) => /\.(tsx?|mjs|md)$|\/./.test(name) || name.endsWith('/'))
      .filter(
        (name) =>
          !/[A-Z]{2,}(?!\.md)|^\.build\//.test(
            name.replace(/README|SOURCES|CHANGES|SAFETY|MUTANTS/, ''),
          ),
      )
  );
}

test.each(pages)('%s: every file and folder that it names is there', (page) => {
  const names = namedIn(read(page));
  expect(names.length).toBeGreaterThan(1);
  const places = ['', 'kernel-lib', dirname(page)];
  const isThere = (name: string) =>
    places.some((place) => existsSync(join(root, place, name))) ||
    // A bare name follows one with its folder; it is known when a file anywhere has it.
    (!name.includes('/') && files.has(name));
  const gone = names.filter((name) => !isThere(name));
  expect(gone).toEqual([]);
});

test.each(pages)('%s: lines of at most 110 characters', (page) => {
  expect(
    read(page)
      .split('\n')
      .filter((line) => [...line].length >= 110),
  ).toEqual([]);
});

test('the tree names every folder of kernel-lib, and no other', () => {
  const tree = /```\nkernel-lib\/\n([\s\S]*?)\n\S/.exec(read('DEVELOPERS.md'))?.[1] ?? '';
  const told = [...tree.matchAll(/^ {2}(\w+)\//gm)].map(([, name]) => name);
  const there = [...folderImports().keys()].filter((name) => name !== 'index');
  expect(told.filter((name) => name !== 'setup').sort()).toEqual(there.sort());
});

test('the picture of the floors is that of the imports', async () => {
  // node kernel-lib/setup/floors.mjs draws it anew.
  expect(read('data/pictures/floors.svg')).toBe(await drawFloors());
});

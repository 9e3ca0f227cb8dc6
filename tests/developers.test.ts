import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
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

/** Every file, each path with a slash before it. */
const files = ['kernel-lib', 'tests', 'worksheets'].flatMap((folder) =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' }).map(
    (path) => `/${folder}/${path.replaceAll('\\', '/')}`,
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
      .filter((name) => !/^\.build\/|[A-Z]{2}/.test(name.replace(/[A-Z]+\.md$/, '')))
  );
}

test.each(pages)('%s: every file and folder that it names is there', (page) => {
  const names = namedIn(read(page));
  expect(names.length).toBeGreaterThan(1);
  // In a sentence a shorter name follows the one with its folder.
  const isThere = (name: string) =>
    existsSync(join(root, name)) ||
    files.some((path) => path.endsWith(`/${name.replace(/\/$/, '')}`));
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

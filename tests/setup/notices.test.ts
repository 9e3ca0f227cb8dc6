import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, expect, test } from 'vitest';
import { handOutFiles } from '../../kernel-lib/cli/hand-out-files';
import {
  bundledFolders,
  noticesFile,
  noticesText,
  packageNotice,
} from '../../kernel-lib/setup/notices.mjs';
import { root } from '../../kernel-lib/setup/places.mjs';

const kept = readFileSync(noticesFile, 'utf8');
let folders: string[];
beforeAll(async () => {
  folders = await bundledFolders();
});

test('every package in a bundle is listed: its name, version, licence, and the text of it', () => {
  expect(folders.length).toBeGreaterThan(50);
  for (const name of ['mathjs', 'katex', 'preact', 'hono', 'plotly.js-dist-min'])
    expect(folders).toContain(`node_modules/${name}`);
  for (const folder of folders) {
    const { title, text } = packageNotice(folder);
    expect(kept.split('\n')).toContain(title);
    expect(text).toMatch(/Redistribution|Permission (is hereby granted|to use)|Apache License/);
    expect(kept).toContain(text);
  }
});

test('the file is what the script writes today; after a change: npm run notices', () => {
  expect(kept).toBe(noticesText(folders));
});

test('no licence asks for more than notices', () => {
  const licences = new Set(
    folders.map((folder) => /\((.+)\)$/.exec(packageNotice(folder).title)?.[1]),
  );
  // Of the two of dompurify the second is chosen.
  const kinds = [
    'MIT',
    'ISC',
    'BSD-2-Clause',
    'BSD-3-Clause',
    'Apache-2.0',
    '(MPL-2.0 OR Apache-2.0)',
  ];
  expect([...licences].filter((licence) => !kinds.includes(licence ?? ''))).toEqual([]);
});

test('a package without a licence is refused', () => {
  expect(() => packageNotice('tests/setup/without-licence')).toThrow(
    /nameless comes without a licence. Look it up/,
  );
});

test('students get it with the program, and whose the tables are', () => {
  const files = handOutFiles({ sheets: ['02-one-slit'] });
  for (const path of ['LICENSE', 'data/THIRD-PARTY.txt', 'data/SOURCES.md'])
    expect(files.get(path)?.toString()).toBe(readFileSync(join(root, path), 'utf8'));
});

import { readdirSync, readFileSync } from 'node:fs';
import { beforeAll, expect, test } from 'vitest';
import * as multislit from '../../kernel-lib/index';
import {
  chapters,
  exportedFolders,
  withFormulas,
  writeReference,
} from '../../kernel-lib/setup/reference.mjs';
import { scratch } from '../scratch';

const { at } = scratch('reference-');
let complaints: string[];
const page = (path: string) => readFileSync(at(path), 'utf8');
beforeAll(async () => {
  complaints = await writeReference(at());
}, 120_000);

test('it is made without a complaint', () => {
  expect(complaints).toEqual([]);
});

test('every value that a cell can import has its page, and the example stands on it', () => {
  const pages = ['functions', 'classes', 'variables'].flatMap((kind) =>
    readdirSync(at(kind)).map((file) => [file.replace('.html', ''), kind] as const),
  );
  expect(pages.map(([name]) => name).sort()).toEqual(Object.keys(multislit).sort());
  const without = pages.filter(([name, kind]) => !/>Example</.test(page(`${kind}/${name}.html`)));
  expect(without).toEqual([]);
});

test('chapters are the folders that index.ts exports from', () => {
  expect(Object.keys(chapters).sort()).toEqual(exportedFolders().sort());
  const titles = [...page('modules.html').matchAll(/<h2[^>]*>([^<]+)<a/g)];
  expect(titles.map(([, title]) => title)).toEqual(Object.values(chapters));
});

test('formulas stand as they were written', () => {
  expect(withFormulas('Purpose:\n\n  a = *b* [c](d)\n  e = f\n\nMore\n  text.')).toBe(
    'Purpose:\n\n    a = *b* [c](d)\n    e = f\n\nMore\n  text.',
  );
  expect(page('functions/nearField.html')).toMatch(/<pre><code>I\(x\) = ½ \|Σ/);
});

import { readFileSync } from 'node:fs';
import katex from 'katex';
import { expect, test } from 'vitest';
import { sheetNames } from '../../kernel-lib/kernel/sheets';
import { sourceOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { formulasOf } from '../../kernel-lib/page/text/formulas-of';
import { createMarkdown } from '../../kernel-lib/page/text/markdown';

test.each(sheetNames())('every formula of %s is set ahead, as KaTeX sets it', (name) => {
  const file = new URL(`../../worksheets/${name}/sheet.ipynb`, import.meta.url);
  const { cells } = readNotebook(readFileSync(file, 'utf8'));
  const texts = cells.filter((cell) => cell.cell_type === 'markdown').map(sourceOf);
  const { inline, display } = formulasOf(texts);
  const plain = texts.join('\n').replace(/`[^`\n]*`/g, '');
  const found = [...plain.matchAll(/\$\$([^$]+)\$\$|\$([^$\n]+)\$/g)];
  const shown = new Set(found.flatMap(([, shown]) => shown?.trim() ?? []));
  const within = new Set(found.flatMap(([, , inline]) => inline ?? []));
  const trimmed = (table: object) => new Set(Object.keys(table).map((tex) => tex.trim()));
  expect(trimmed(display)).toEqual(shown);
  expect(trimmed(inline)).toEqual(within);
  const spoken = /<annotation [\s\S]*?<\/annotation>/g;
  for (const [table, displayMode] of [
    [display, true],
    [inline, false],
  ] as const)
    for (const [tex, html] of Object.entries(table))
      expect(html).toBe(katex.renderToString(tex, { displayMode }).replace(spoken, ''));
});

test('a long name in a line of text may be broken behind its point, a number not', () => {
  const html = createMarkdown((tex) => tex)('`given.focalLength * 0.5` and `a & b`');
  // HTML's element for a place where a line may be broken.
  expect(html).toBe(
    '<p><code>given.<wbr>focalLength * 0.5</code> and <code>a &amp; b</code></p>\n',
  );
});

import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { sourceOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';

/** What stands in one cell of a sheet, such as `1-9-text`, as students read it. */
export function textOf(sheet: string, cell: string): string {
  const path = fileURLToPath(
    new URL(`../../.build/worksheets/${sheet}/sheet.ipynb`, import.meta.url),
  );
  const found = readNotebook(readFileSync(path, 'utf8')).cells.find(({ id }) => id === cell);
  if (!found) throw new RangeError(`The sheet ${sheet} has no cell ${cell}.`);
  return sourceOf(found);
}

import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { type Ahead, aheadOf, type CellAhead, cellsOf } from '../cells/ahead';
import { built } from './home';
import { sheetNames } from './sheets';

let known: readonly CellAhead[] | undefined;

/** The cells of all sheets as this build made them ready; of a sheet that it did not, none. */
function cellsAhead(): readonly CellAhead[] {
  known ??= sheetNames().flatMap((name) => {
    const file = built(`worksheets/${name}/ahead.json`);
    return existsSync(file) ? cellsOf(readFileSync(file, 'utf8')) : [];
  });
  return known;
}

/** Whether cells in a folder find another `multislit` than this one, whose types may be others. */
function hasItsOwn(folder: string): boolean {
  for (let at = folder; ; at = dirname(at)) {
    if (existsSync(join(at, 'node_modules', 'multislit'))) return true;
    if (at === dirname(at)) return false;
  }
}

/** What is known without a compiler of cells in a folder; read when the first one asks. */
export function aheadIn(folder: string): Ahead {
  let ahead: Ahead | undefined;
  return (declarations, source) => {
    ahead ??= aheadOf(hasItsOwn(folder) ? [] : cellsAhead());
    return ahead(declarations, source);
  };
}

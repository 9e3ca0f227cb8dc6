import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join, sep } from 'node:path';
import { type Ahead, aheadOf, type CellAhead, cellsOf } from '../cells/ahead';
import { built, home } from './home';

/** The files of what this build made ready, a sheet each. */
export function aheadFiles(): string[] {
  const folder = built('worksheets');
  if (!existsSync(folder)) return [];
  const files = readdirSync(folder).map((name) => join(folder, name, 'ahead.json'));
  return files.filter((file) => existsSync(file)).sort();
}

let known: readonly CellAhead[] | undefined;

function cellsAhead(): readonly CellAhead[] {
  known ??= aheadFiles().flatMap((file) => cellsOf(readFileSync(file, 'utf8')));
  return known;
}

/**
 * Whether cells in a folder find `multislit` in another way than everywhere: another one, whose types may be others,
 * or this one by a path within it.
 */
function isPeculiar(folder: string): boolean {
  if (`${folder}${sep}`.startsWith(`${home}${sep}`)) return true;
  for (let at = folder; ; at = dirname(at)) {
    if (existsSync(join(at, 'node_modules', 'multislit'))) return true;
    if (at === dirname(at)) return false;
  }
}

/** What is known without a compiler of cells in a folder; read when the first one asks. */
export function aheadIn(folder: string): Ahead {
  let ahead: Ahead | undefined;
  return (declarations, source) => {
    ahead ??= aheadOf(isPeculiar(folder) ? [] : cellsAhead());
    return ahead(declarations, source);
  };
}

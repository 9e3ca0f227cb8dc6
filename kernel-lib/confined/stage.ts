import { chmodSync, copyFileSync, mkdirSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { built, home } from '../kernel/home';
import { isAlive } from '../kernel/is-alive';

/** A folder with copies of the few files that a confined child may see, readable by any account. */
export interface Stage {
  readonly folder: string;
  /** The files of one sheet's child, relative to the folder. */
  filesFor(sheet: string): string[];
  remove(): void;
}

const library = ['package.json', '.build/index.cjs', '.build/confined.cjs'];
const sheetFile = (sheet: string) => `.build/worksheets/${sheet}/sheet.cjs`;

const prefix = 'multislit-marking-';

/** A run that was cut off could not tidy up after itself. */
function removeOrphans(): void {
  for (const name of readdirSync(tmpdir())) {
    const pid = name.startsWith(prefix) ? Number(name.slice(prefix.length).split('-')[0]) : 0;
    if (!(pid > 0) || isAlive(pid)) continue;
    try {
      rmSync(join(tmpdir(), name), { recursive: true, force: true });
    } catch {
      // Another account's.
    }
  }
}

/** Copy the library, the child's own code and what students have of each sheet. Never a key. */
export function createStage(sheets: readonly string[]): Stage {
  removeOrphans();
  const folder = mkdtempSync(join(tmpdir(), `${prefix}${process.pid}-`));
  chmodSync(folder, 0o755);
  for (const file of [...library, ...sheets.map(sheetFile)]) {
    const to = join(folder, file);
    mkdirSync(dirname(to), { recursive: true, mode: 0o755 });
    copyFileSync(file === 'package.json' ? join(home, file) : built(file.slice(7)), to);
    chmodSync(to, 0o644);
  }
  return {
    folder,
    filesFor: (sheet) => [...library, ...(sheet ? [sheetFile(sheet)] : [])],
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}

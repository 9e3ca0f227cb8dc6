import { chmodSync, copyFileSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { built, home } from '../kernel/home';

/** A folder with copies of the few files that a confined child may see, readable by any account. */
export interface Stage {
  readonly folder: string;
  /** The files of one sheet's child, relative to the folder. */
  filesFor(sheet: string): string[];
  remove(): void;
}

const library = ['package.json', '.build/index.cjs', '.build/confined.cjs'];
const sheetFile = (sheet: string) => `.build/worksheets/${sheet}/sheet.cjs`;

/** Copy the library, the child's own code and what students have of each sheet. Never a key. */
export function createStage(sheets: readonly string[]): Stage {
  const folder = mkdtempSync(join(tmpdir(), 'multislit-marking-'));
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

import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

/** Folders of marks that were open, the last one first. */
export interface Folders {
  list(): string[];
  remember(folder: string): void;
}

const most = 8;

/** @param workFolder of the desk: there they are kept; where that cannot be written, nothing is remembered */
export function rememberedFolders(workFolder: string): Folders {
  const file = join(workFolder, '.marking.json');
  function read(): string[] {
    try {
      const found: unknown = JSON.parse(readFileSync(file, 'utf8'));
      return Array.isArray(found) ? found.filter((one) => typeof one === 'string') : [];
    } catch {
      return [];
    }
  }
  return {
    list: () => read().filter((folder) => existsSync(join(folder, 'class.json'))),
    remember(folder) {
      const before = read();
      if (before[0] === folder) return;
      const all = [folder, ...before.filter((one) => one !== folder)].slice(0, most);
      try {
        writeFileSync(file, `${JSON.stringify(all, null, 1)}\n`, { mode: 0o600 });
      } catch {
        // It is only a convenience.
      }
    },
  };
}

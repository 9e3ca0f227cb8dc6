import { chmodSync, copyFileSync, existsSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { temporaryFolder } from '../kernel/temporary-folder';
import type { FileWith } from '../travels/files-beside';
import { digestOf } from './sheets-to-mark';

/** Files that came with returns, on this disk for as long as the returns are marked. */
export interface KeptFiles {
  /** Keep a file; gives the digest by which it is found again. */
  keep(bytes: Uint8Array): string;
  /** Lay files into a folder of their own, which any account may read and nothing else is in. */
  layOut(files: readonly FileWith[]): { readonly folder: string; remove(): void };
  remove(): void;
}

/**
 * Files are kept under their digests, never under a name that came from outside; under their own names, which
 * `isBesideName` has passed, they lie only in the folder that is shown to one locked-down child.
 */
export function keptFiles(): KeptFiles {
  const kept = temporaryFolder('returned');
  const open = temporaryFolder('readable');
  chmodSync(open, 0o755);
  let last = 0;
  return {
    keep(bytes) {
      const digest = digestOf(bytes);
      const place = join(kept, digest);
      if (!existsSync(place)) writeFileSync(place, bytes);
      return digest;
    },
    layOut(files) {
      last += 1;
      const folder = join(open, String(last));
      mkdirSync(folder);
      for (const { name, digest } of files) {
        const place = join(folder, name);
        copyFileSync(join(kept, digest), place);
        chmodSync(place, 0o644);
      }
      chmodSync(folder, 0o755);
      return { folder, remove: () => rmSync(folder, { recursive: true, force: true }) };
    },
    remove() {
      for (const folder of [kept, open]) rmSync(folder, { recursive: true, force: true });
    },
  };
}

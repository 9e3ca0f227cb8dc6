import { createHash } from 'node:crypto';
import { lstatSync, mkdtempSync, readdirSync, realpathSync, rmSync, type Stats } from 'node:fs';
import { hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import { isAlive } from './processes';

/** Containers that share a temporary folder have process ids of their own, and names. */
const machine = () => createHash('sha256').update(hostname()).digest('hex').slice(0, 8);

const ourName = /^multislit-[a-z]+-([0-9a-f]{8})-(\d+)-\w{6}$/;

/** True for a folder that is no link and belongs to this account: in a shared place names prove nothing. */
export function isOwnFolder(info: Stats | undefined, account = process.getuid?.()): boolean {
  if (!info?.isDirectory()) return false;
  return account === undefined || info.uid === account;
}

/** What runs of this account left behind that were cut off. Links and what others made stay. */
function removeLeftOver(base: string): void {
  const here = machine();
  for (const name of readdirSync(base)) {
    const [, where, pid] = ourName.exec(name) ?? [];
    if (where !== here || isAlive(Number(pid))) continue;
    const path = join(base, name);
    if (!isOwnFolder(lstatSync(path, { throwIfNoEntry: false }))) continue;
    try {
      rmSync(path, { recursive: true, force: true });
    } catch {
      // It stays; nothing depends on it.
    }
  }
}

/**
 * A new folder in the system's temporary one, closed to other accounts, by its real path: where a link leads
 * there, as on every Mac, Node's permission flags and name spaces would take the link for another place. What
 * runs that were cut off left there is removed first.
 *
 * @param kind in the folder's name: small letters
 */
export function temporaryFolder(kind: string): string {
  const base = realpathSync(tmpdir());
  removeLeftOver(base);
  return mkdtempSync(join(base, `multislit-${kind}-${machine()}-${process.pid}-`));
}

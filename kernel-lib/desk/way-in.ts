import { lstatSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { escapeText } from '../display/escape-text';
import { isAlive } from '../kernel/is-alive';

/** A page on this disk that leads a browser to the desk. */
export interface WayIn {
  /** Its address, of the kind `file:`: all that a list of processes shows of the desk. */
  readonly address: string;
  remove(): void;
}

const nameOf = (pid: number) => `.open-${pid}.html`;
const ourName = /^\.open-(\d+)\.html$/;

/** What write-file-atomic calls a file until it is whole; a student's copy with a date for an ending is none. */
const unfinished = /^(?:[\w-]+\.ipynb|student\.json)\.(?!(?:19|20)\d{8}$)\d{9,10}$/;

function pageTo(address: string): string {
  const safe = escapeText(address);
  return `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="referrer" content="no-referrer"><meta http-equiv="refresh" content="0;url=${safe}"><title>Worksheets</title><p><a href="${safe}">Open the worksheets</a></p></html>
`;
}

/** Windows' programs see the files of its Linux by another name. */
function addressOf(path: string): string {
  const { WSL_DISTRO_NAME: linux } = process.env;
  const url = pathToFileURL(path);
  const inWindows = linux === undefined ? '' : `//wsl.localhost/${encodeURIComponent(linux)}`;
  const href = inWindows === '' ? url.href : `file:${inWindows}${url.pathname}`;
  // Windows' shell would take these for names of its own.
  return href.replaceAll('$', '%24').replaceAll('`', '%60');
}

/**
 * Lay a page into the work folder that leads to `address`. What starts a browser is handed the page's place, so that
 * the address, which lets in who has it, is in no list of processes; the page itself is for this account only.
 *
 * Not in the system's temporary folder: browsers that are packed with walls of their own do not read there.
 */
export function layWayIn(folder: string, address: string): WayIn {
  const file = join(folder, nameOf(process.pid));
  rmSync(file, { force: true });
  writeFileSync(file, pageTo(address), { mode: 0o600, flag: 'wx' });
  return { address: addressOf(file), remove: () => rmSync(file, { force: true }) };
}

/**
 * Remove what desks that were cut off left in the work folder: ways in that lead nowhere any more, and files that
 * were only half saved. Only ordinary files of this account, older than this process.
 */
export function removeLeftOver(folder: string): void {
  const began = Date.now() - 1000 * process.uptime();
  const account = process.getuid?.();
  for (const name of readdirSync(folder)) {
    const pid = ourName.exec(name)?.[1];
    if (pid === undefined ? !unfinished.test(name) : isAlive(Number(pid))) continue;
    const path = join(folder, name);
    const info = lstatSync(path, { throwIfNoEntry: false });
    const isOwn = info?.isFile() && (account === undefined || info.uid === account);
    if (isOwn && info && info.mtimeMs < began) rmSync(path, { force: true });
  }
}

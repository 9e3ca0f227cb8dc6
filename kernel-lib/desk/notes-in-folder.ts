import { lstatSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { rm, writeFile } from 'node:fs/promises';
import { connect } from 'node:net';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { escapeText } from '../display/bundle';
import { isAlive } from '../kernel/processes';
import { readStored } from './stored-file';

/** A desk that serves a folder, as the note that it leaves there tells. */
export interface DeskNote {
  readonly pid: number;
  readonly port: number;
}

const noteIn = (folder: string) => join(folder, '.desk.json');

/** The desk that serves this folder already, if one does: its process runs and something listens at its port. */
export async function otherDesk(folder: string): Promise<DeskNote | undefined> {
  const note = await readNote(folder);
  if (!note || note.pid === process.pid || !isAlive(note.pid)) return undefined;
  return (await listens(note.port)) ? note : undefined;
}

/** Leave a note that this process serves the folder at `port`; returns how to take it away again. */
export async function leaveNote(folder: string, port: number): Promise<() => Promise<void>> {
  const mine: DeskNote = { pid: process.pid, port };
  // The note only informs: where it cannot be written the desk works all the same.
  // Anew, so that it is written neither through a link nor into a pipe that lies there.
  await rm(noteIn(folder), { force: true })
    .then(() => writeFile(noteIn(folder), `${JSON.stringify(mine)}\n`, { mode: 0o600, flag: 'wx' }))
    .catch(() => {});
  return async () => {
    const note = await readNote(folder);
    if (note?.pid === mine.pid && note.port === port) await rm(noteIn(folder), { force: true });
  };
}

async function readNote(folder: string): Promise<DeskNote | undefined> {
  try {
    const { pid, port } = JSON.parse((await readStored(noteIn(folder), 'The note')).text);
    const sound = Number.isInteger(pid) && pid > 0 && Number.isInteger(port);
    return sound && port > 0 && port < 65536 ? { pid, port } : undefined;
  } catch {
    return undefined;
  }
}

function listens(port: number): Promise<boolean> {
  return new Promise((done) => {
    const socket = connect(port, '127.0.0.1');
    const end = (answer: boolean) => {
      socket.destroy();
      done(answer);
    };
    socket.once('connect', () => end(true));
    socket.once('error', () => end(false));
    socket.setTimeout(1000, () => end(false));
  });
}

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

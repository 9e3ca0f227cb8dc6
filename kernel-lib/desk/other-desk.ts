import { rm, writeFile } from 'node:fs/promises';
import { connect } from 'node:net';
import { join } from 'node:path';
import { isAlive } from '../kernel/is-alive';
import { readStored } from './store';

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

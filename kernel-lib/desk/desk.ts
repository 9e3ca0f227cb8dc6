import { constants } from 'node:fs';
import { access, mkdir, stat } from 'node:fs/promises';
import type { Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { createAdaptorServer, upgradeWebSocket } from '@hono/node-server';
import { type Context, Hono } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import { WebSocketServer } from 'ws';
import { contents, largestSave } from './contents';
import { deskRoutes } from './desk-routes';
import { freshToken, guard, onceWords, safetyHeaders } from './guard';
import { kernelRoutes } from './kernel-routes';
import { type DeskNote, leaveNote, otherDesk } from './other-desk';
import { pageFiles } from './page-files';
import { fileProblem, Problem } from './problem';
import { refusalPage } from './refusal-page';
import { Sheets } from './sheets';
import { type Launch, Shelf } from './shelf';
import { SpareKernel } from './spare-kernel';
import { removeLeftOver } from './way-in';
import { framed } from './wire';

export interface DeskOptions {
  /** The student's work folder, made when it is not there. */
  folder: string;
  /** The built sheets. */
  worksheets: string;
  /** The built page. */
  page: string;
  /** 0 takes any free one. */
  port: number;
  /** Starts a kernel that works in `folder`. */
  launch: Launch;
  /** Start a kernel ahead, for the first sheet that is opened. */
  prepare?: boolean;
}

/** A running local server. */
export interface Desk {
  readonly port: number;
  /** The address to open once; its token lets the browser in. */
  readonly address: string;
  /**
   * Another address that lets in once and no more.
   *
   * @param onUsed told when somebody came in by it
   */
  once(onUsed: () => void): string;
  readonly sheets: Sheets;
  /** Another desk that served the folder already when this one began. */
  readonly other: DeskNote | undefined;
  /** Ends the kernels, then the server. */
  close(): Promise<void>;
}

const localhost = '127.0.0.1';

/**
 * Start the server for the page, on this machine only.
 *
 * @throws Problem with one sentence when the folder cannot be used or the port is taken
 */
export async function startDesk(options: DeskOptions): Promise<Desk> {
  await prepareFolder(options.folder);
  removeLeftOver(options.folder);
  const token = freshToken();
  const words = onceWords();
  const spare = new SpareKernel(options.launch);
  const shelf = new Shelf(() => spare.take());
  const sheets = new Sheets(options.folder, options.worksheets);
  let port = options.port;

  const app = new Hono<{ Variables: { nonce: string } }>();
  const portNow = () => port;
  app.use(safetyHeaders(portNow));
  app.use(guard(token, words, portNow));
  const small = bodyLimit({ maxSize: 64 * 1024 });
  app.use('/desk/*', small);
  app.use('/api/sessions/*', small);
  app.use('/api/kernels/*', small);
  app.route('/desk', deskRoutes(sheets));
  app.route('/api/contents', contents(options.folder));
  app.route('/api', kernelRoutes(shelf, upgradeWebSocket));
  app.route('/', pageFiles(options.page));
  app.notFound((c) => c.json({ message: 'There is nothing at this address.' }, 404));
  app.onError((error, c) => {
    if (error instanceof Problem) return refuse(c, error);
    console.error(error);
    return c.json({ message: `The desk failed: ${error.message}` }, 500);
  });

  const sockets = new WebSocketServer({
    noServer: true,
    maxPayload: largestSave,
    handleProtocols: (offered) => (offered.has(framed) ? framed : false),
  });
  const server = createAdaptorServer({
    fetch: app.fetch,
    hostname: localhost,
    websocket: { server: sockets },
  }) as Server;
  await listen(server, options.port);
  port = (server.address() as AddressInfo).port;
  const other = await otherDesk(options.folder);
  const takeNoteAway = other ? async () => {} : await leaveNote(options.folder, port);
  if (options.prepare) spare.prepare();

  return {
    port,
    address: `http://${localhost}:${port}/?token=${token}`,
    once: (onUsed) => `http://${localhost}:${port}/?once=${words.issue(onUsed)}`,
    sheets,
    other,
    async close() {
      await takeNoteAway();
      await Promise.all([shelf.closeAll(), spare.close()]);
      for (const socket of sockets.clients) socket.terminate();
      const closed = new Promise((done) => server.close(done));
      server.closeAllConnections();
      await closed;
    },
  };
}

/** A person who opens an address gets a page with the sentence, a program gets JSON. */
function refuse(c: Context, { status, message }: Problem): Response {
  if (!c.req.header('accept')?.includes('text/html')) return c.json({ message }, status);
  return c.html(refusalPage(message), status);
}

function listen(server: Server, port: number): Promise<void> {
  return new Promise((done, fail) => {
    server.once('error', (error: NodeJS.ErrnoException) => {
      if (error.code === 'EADDRINUSE')
        fail(
          new Problem(
            409,
            `Port ${port} is in use: choose another with --port, or leave --port out.`,
          ),
        );
      else if (error.code === 'EACCES')
        fail(new Problem(403, `Port ${port} is not for everyone to use: choose one above 1023.`));
      else fail(error);
    });
    server.listen(port, localhost, done);
  });
}

async function prepareFolder(folder: string): Promise<void> {
  try {
    await mkdir(folder, { recursive: true });
    const found = await stat(folder);
    if (!found.isDirectory()) throw Object.assign(new Error(), { code: 'ENOTDIR' });
    await access(folder, constants.R_OK | constants.W_OK | constants.X_OK);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'EEXIST' || code === 'ENOTDIR')
      throw new Problem(400, `${folder} is a file: name a folder to keep the worksheets in.`);
    throw fileProblem(error, `The folder ${folder}`);
  }
}

import { constants } from 'node:fs';
import { access, mkdir, readFile, stat } from 'node:fs/promises';
import type { Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join } from 'node:path';
import { createAdaptorServer, upgradeWebSocket } from '@hono/node-server';
import { type Context, Hono } from 'hono';
import { WebSocketServer } from 'ws';
import type { SheetList } from '../travels/sheet-list';
import { contents, largestSave } from './contents';
import { freshToken, guard, oneTimeTokens, refusalPage, safetyHeaders } from './guard';
import { kernelRoutes } from './kernel-routes';
import { Kernels, type Launch, PrestartedKernel } from './kernels';
import { limitedBody } from './limited-body';
import { type DeskNote, leaveNote, otherDesk, removeLeftOver } from './notes-in-folder';
import { fileRefusal, Refusal } from './refusal';
import { RoomDoor } from './room-door';
import { Sheets } from './sheets';
import { contain } from './stored-file';
import { checkedStudentNumber, readStudent } from './student';
import { framed } from './wire';

interface DeskOptions {
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
  /** The marking page and what it asks; a desk of a student has none. */
  marking?: { readonly page: string; readonly routes: Hono };
  /** The built bench for the phones of an audience; a desk of a student has none. */
  room?: string;
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
 * @throws Refusal with one sentence when the folder cannot be used or the port is taken
 */
export async function startDesk(options: DeskOptions): Promise<Desk> {
  await prepareFolder(options.folder);
  removeLeftOver(options.folder);
  const token = freshToken();
  const oneTime = oneTimeTokens();
  const prestarted = new PrestartedKernel(options.launch);
  const kernels = new Kernels(() => prestarted.take());
  const sheets = new Sheets(options.folder, options.worksheets);
  let port = options.port;

  const door = options.room === undefined ? undefined : new RoomDoor(options.room);

  const app = new Hono<{ Variables: { nonce: string } }>();
  const portNow = () => port;
  app.use(safetyHeaders(portNow));
  app.use(guard(token, oneTime, portNow));
  const small = limitedBody(64 * 1024, 'This request is larger than any that a page sends here.');
  app.use('/desk/*', small);
  app.use('/api/sessions/*', small);
  app.use('/api/kernels/*', small);
  if (door) app.route('/desk/room', door.routes(upgradeWebSocket));
  app.route('/desk', deskRoutes(sheets, options.marking !== undefined));
  app.route('/api/contents', contents(options.folder));
  app.route('/api', kernelRoutes(kernels, upgradeWebSocket));
  if (options.marking) {
    app.route('/marking/ask', options.marking.routes);
    app.route('/marking', pageFiles(options.marking.page, ['/']));
  }
  app.route('/', pageFiles(options.page, ['/', '/bench', '/help', '/sheet/:path{.+}']));
  app.notFound((c) => c.json({ message: 'There is nothing at this address.' }, 404));
  app.onError((error, c) => {
    if (error instanceof Refusal) return refuse(c, error);
    console.error(error);
    return c.json({ message: `The server failed: ${error.message}` }, 500);
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
  if (options.prepare) prestarted.prepare();

  return {
    port,
    address: `http://${localhost}:${port}/?token=${token}`,
    once: (onUsed) => `http://${localhost}:${port}/?once=${oneTime.issue(onUsed)}`,
    sheets,
    other,
    async close() {
      await takeNoteAway();
      await Promise.all([door?.close(), kernels.closeAll(), prestarted.close()]);
      for (const socket of sockets.clients) socket.terminate();
      const closed = new Promise((done) => server.close(done));
      server.closeAllConnections();
      await closed;
    },
  };
}

/** A person who opens an address gets a page with the sentence, a program gets JSON. */
function refuse(c: Context, { status, message }: Refusal): Response {
  if (!c.req.header('accept')?.includes('text/html')) return c.json({ message }, status);
  return c.html(refusalPage(message), status);
}

function listen(server: Server, port: number): Promise<void> {
  return new Promise((done, fail) => {
    server.once('error', (error: NodeJS.ErrnoException) => {
      if (error.code === 'EADDRINUSE')
        fail(
          new Refusal(
            409,
            `Port ${port} is in use: choose another with --port, or leave --port out.`,
          ),
        );
      else if (error.code === 'EACCES')
        fail(new Refusal(403, `Port ${port} is not for everyone to use: choose one above 1023.`));
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
      throw new Refusal(400, `${folder} is a file: name a folder to keep the worksheets in.`);
    throw fileRefusal(error, `The folder ${folder}`);
  }
}

/** What the front page asks of the desk, beyond Jupyter's services. */
function deskRoutes(sheets: Sheets, hasMarking: boolean): Hono {
  const app = new Hono();
  const { folder } = sheets;

  app.get('/alive', (c) => c.json({ alive: true }));

  app.get('/sheets', async (c) => {
    const [student, list, others] = await Promise.all([
      readStudent(folder),
      sheets.list(),
      sheets.others(),
    ]);
    const answer: SheetList = {
      ...{ folder, student: student ?? null, sheets: list, others },
      ...(hasMarking ? { marking: '/marking' } : {}),
    };
    return c.json(answer);
  });

  app.put('/student', async (c) => {
    const body = (await c.req.json().catch(() => ({}))) as { student?: unknown };
    const student = checkedStudentNumber(body.student);
    await sheets.setStudent(student);
    return c.json({ student });
  });

  app.post('/sheets/:name/open', async (c) => {
    return c.json(await sheets.open(c.req.param('name'), await readStudent(folder)));
  });

  return app;
}

const types: Record<string, string> = {
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.html': 'text/html; charset=utf-8',
  '.txt': 'text/plain; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.woff2': 'font/woff2',
  '.woff': 'font/woff',
  '.ttf': 'font/ttf',
};

/** A built page: its HTML at each of `places`, its scripts, styles and fonts under `/page/`. */
function pageFiles(
  folder: string,
  places: readonly string[],
): Hono<{ Variables: { nonce: string } }> {
  const app = new Hono<{ Variables: { nonce: string } }>();
  const html = async (nonce: string) =>
    (await readFile(join(folder, 'index.html'), 'utf8')).replaceAll('{{nonce}}', nonce);

  for (const place of places) app.get(place, async (c) => c.html(await html(c.get('nonce'))));
  app.get('/page/:name{.+}', async (c) => {
    const name = c.req.param('name');
    const file = await contain(folder, name);
    const bytes = await readFile(file).catch((error) => {
      throw fileRefusal(error, name);
    });
    c.header('Content-Type', types[extname(name)] ?? 'application/octet-stream');
    // Chunks and fonts carry a hash in their names; the entries do not.
    const hashed = /-[A-Z0-9]{8}\.\w+$/.test(name);
    c.header('Cache-Control', hashed ? 'max-age=31536000, immutable' : 'no-cache');
    return c.body(new Uint8Array(bytes));
  });
  return app;
}

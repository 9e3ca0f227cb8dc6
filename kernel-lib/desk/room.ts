import { randomInt } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import { type AddressInfo, isIPv4, type Socket } from 'node:net';
import { networkInterfaces } from 'node:os';
import { extname, join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { WebSocket, WebSocketServer } from 'ws';
import {
  type Gathered,
  gather,
  LONGEST_FROM_PHONE,
  type OpenRoom,
  type RoomAddress,
  readAnswer,
  type Shown,
  type ToPhone,
} from '../travels/room-talk';
import { Refusal } from './refusal';

/** How much a room bears. */
export interface RoomLimits {
  /** Phones at one time. */
  readonly phones: number;
  /** Phones from one address at one time: as many as a class behind one address needs, not as many as there is room for. */
  readonly fromOne: number;
  /** Wrong codes from one address in a minute, after which it is not heard for the rest of it. */
  readonly wrongCodes: number;
  /** Messages of one phone: at once, and then in each second. */
  readonly atOnce: number;
  readonly perSecond: number;
  /** Longest that a room waits for its page to come back, ms. */
  readonly grace: number;
}

export const usualLimits: RoomLimits = {
  phones: 1500,
  fromOne: 300,
  wrongCodes: 30,
  atOnce: 20,
  perSecond: 6,
  grace: 15_000,
};

/** Reasons for which a phone's line is closed, by WebSocket's codes for private use. */
export const closedBecause = {
  ended: 4404,
  wrongCode: 4403,
  tooMuch: 4429,
  full: 4503,
} as const;

/** Tried first, so that a code on a blackboard leads to the room of the next hour too. */
const usualPort = 4711;
/** Shortest time between two states, ms: a slider moves with every frame, and a thousand phones hear of it. */
const BETWEEN = 40;
/** How often a line is tried, ms. */
const BEAT = 15_000;

const words =
  'SLATE AMBER CEDAR COPPER LEMON MAPLE OLIVE PEARL QUARTZ RAVEN SILVER TULIP VELVET WALNUT ZEBRA BIRCH CORAL DELTA EAGLE FALCON GRANITE HAZEL INDIGO JUNIPER LILAC MARBLE NUTMEG OPAL PEPPER ROBIN SAFFRON TIMBER'.split(
    ' ',
  );

/** A code that is read out and typed in a moment: `SLATE 42`. */
const freshCode = () => `${words[randomInt(words.length)]} ${randomInt(10, 100)}`;

const plainCode = (code: string) => code.toUpperCase().replace(/[^A-Z0-9]/g, '');

/** Addresses of this machine at which others reach it, and last the one at which nobody else does. */
export function roomAddresses(): RoomAddress[] {
  const found = Object.entries(networkInterfaces()).flatMap(([name, all = []]) =>
    all
      .filter(({ address }) => isIPv4(address))
      .map(({ address, internal }) => ({ at: address, name, alone: internal })),
  );
  return found.sort((one, other) => Number(one.alone) - Number(other.alone));
}

interface Part {
  readonly type: string;
  readonly content: Buffer;
  readonly packed: Buffer;
}

const types: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
};

/** The built bench, read once: while the room is open no request touches a disk. */
function partsOf(folder: string): Map<string, Part> {
  const parts = new Map<string, Part>();
  for (const name of readdirSync(folder)) {
    const type = types[extname(name)];
    if (!type) continue;
    const content = readFileSync(join(folder, name));
    const part = { type, content, packed: gzipSync(content) };
    parts.set(name === 'index.html' ? '/' : `/${name}`, part);
  }
  return parts;
}

interface Phone {
  readonly socket: WebSocket;
  readonly device: string;
  /** The address from which it came. */
  readonly from: string;
  /** Whether something is on its way to it, and whether something newer waits behind that. */
  isBusy: boolean;
  isBehind: boolean;
  isAlive: boolean;
  /** Messages that it may still send at once, and when that was counted, ms. */
  left: number;
  countedAt: number;
}

interface RoomOptions {
  /** The built bench. */
  readonly folder: string;
  /** One of this machine's own addresses. */
  readonly at: string;
  readonly limits?: RoomLimits;
  /** Told when somebody comes, goes or answers. */
  readonly onCount?: (people: number, answers: number) => void;
}

/**
 * A listener of its own for an audience: the bench goes out, answers come in, and nothing else. It knows no kernel, no
 * file but the built bench, and no token of the desk; who holds its code can read along and answer, not steer.
 */
export class Room {
  readonly code = freshCode();
  port = 0;
  private readonly parts: ReadonlyMap<string, Part>;
  private readonly limits: RoomLimits;
  private readonly server: Server;
  private readonly sockets = new WebSocketServer({
    noServer: true,
    maxPayload: LONGEST_FROM_PHONE,
    perMessageDeflate: false,
  });
  private readonly phones = new Set<Phone>();
  private readonly connections = new Map<string, number>();
  private readonly wrong = new Map<string, { count: number; until: number }>();
  private shown: Shown = { step: '', title: '', text: '', bench: '', place: 0, dark: false };
  /** Answers to the step that is asked, one a device, with the address from which it came. */
  private answers = new Map<string, { answer: string | number; from: string }>();
  private gathered: Gathered | undefined;
  private told = '';
  private toldAt = 0;
  private timer: NodeJS.Timeout | undefined;
  private readonly beat: NodeJS.Timeout;

  private constructor(private readonly options: RoomOptions) {
    this.parts = partsOf(options.folder);
    this.limits = options.limits ?? usualLimits;
    this.server = createServer({
      maxHeaderSize: 8 * 1024,
      headersTimeout: 10_000,
      requestTimeout: 10_000,
      keepAliveTimeout: 5000,
    });
    this.server.maxConnections = this.limits.phones + 2 * this.limits.fromOne;
    this.server.on('connection', (socket) => this.count(socket));
    this.server.on('request', (request, response) => this.serve(request, response));
    this.server.on('upgrade', (request, socket: Socket, head) =>
      this.receive(request, socket, head),
    );
    this.beat = setInterval(() => this.feel(), BEAT);
    this.beat.unref();
    this.tell();
  }

  /**
   * Open a room at one of this machine's addresses.
   *
   * @throws Refusal with a sentence when the address is none of this machine's, or nothing can be opened there
   */
  static async open(options: RoomOptions): Promise<Room> {
    if (!roomAddresses().some(({ at }) => at === options.at))
      throw new Refusal(
        400,
        `${options.at} is no address of this machine now: choose one of the list.`,
      );
    const room = new Room(options);
    const listen = (port: number) =>
      new Promise<void>((done, fail) => {
        room.server.once('error', fail);
        room.server.listen(port, options.at, () => {
          room.server.off('error', fail);
          done();
        });
      });
    try {
      await listen(usualPort).catch(() => listen(0));
    } catch (error) {
      clearInterval(room.beat);
      throw new Refusal(
        409,
        `No room can be opened at ${options.at}: ${(error as Error).message}.`,
      );
    }
    room.port = (room.server.address() as AddressInfo).port;
    return room;
  }

  /** Whether the film lies open; while it is covered, it is asked. */
  private get isOpen(): boolean {
    return this.shown.bench !== undefined;
  }

  get facts(): OpenRoom {
    return { at: this.options.at, port: this.port, code: this.code };
  }

  /** Show this to all; where the film of a step is opened now, with what was expected. */
  show(shown: Shown): void {
    if (shown.step !== this.shown.step) this.answers.clear();
    const wasOpen = this.isOpen;
    this.shown = shown;
    if (!this.isOpen || this.answers.size === 0) this.gathered = undefined;
    else if (!wasOpen && shown.asks) {
      const all = [...this.answers.values()].map(({ answer }) => answer);
      this.gathered = gather(all, shown.asks);
    }
    this.tell();
    this.counted();
  }

  /** What was expected of the step that is shown; undefined before its film lies open, or when nobody said anything. */
  get expected(): { step: string; gathered: Gathered } | undefined {
    return this.gathered && { step: this.shown.step, gathered: this.gathered };
  }

  counted(): void {
    this.options.onCount?.(this.phones.size, this.answers.size);
  }

  async close(): Promise<void> {
    clearInterval(this.beat);
    clearTimeout(this.timer);
    for (const { socket } of this.phones) socket.close(closedBecause.ended, 'the room was closed');
    const closed = new Promise((done) => this.server.close(done));
    this.server.closeIdleConnections();
    // Who does not answer to the goodbye is not waited for.
    setTimeout(() => {
      for (const { socket } of this.phones) socket.terminate();
      for (const socket of this.sockets.clients) socket.terminate();
      this.server.closeAllConnections();
    }, 500);
    await closed;
  }

  private count(socket: Socket): void {
    const from = socket.remoteAddress ?? '';
    const now = (this.connections.get(from) ?? 0) + 1;
    // A phone that fetches the bench has more than one for a moment.
    if (now > 2 * this.limits.fromOne) {
      socket.destroy();
      return;
    }
    this.connections.set(from, now);
    socket.once('close', () => {
      const left = (this.connections.get(from) ?? 1) - 1;
      if (left > 0) this.connections.set(from, left);
      else this.connections.delete(from);
    });
  }

  private get origin(): string {
    return `http://${this.options.at}:${this.port}`;
  }

  private isForUs({ headers }: IncomingMessage): boolean {
    return `http://${headers.host}` === this.origin;
  }

  private serve(request: IncomingMessage, response: ServerResponse): void {
    const end = (status: number, words: string) => {
      response.writeHead(status, {
        'Content-Type': 'text/plain; charset=utf-8',
        Connection: 'close',
        'X-Content-Type-Options': 'nosniff',
        'Content-Security-Policy': "default-src 'none'",
      });
      response.end(words);
    };
    const part = this.parts.get((request.url ?? '').replace(/\?.*$/s, ''));
    if (!this.isForUs(request)) end(421, `This room is at ${this.origin}/ only.`);
    else if (request.method !== 'GET' && request.method !== 'HEAD')
      end(405, 'This room is looked at; nothing is sent to it.');
    else if (!part) end(404, 'There is nothing at this address.');
    else this.give(part, request, response);
  }

  private give(part: Part, request: IncomingMessage, response: ServerResponse): void {
    const packs = /\bgzip\b/.test(request.headers['accept-encoding'] ?? '');
    const content = packs ? part.packed : part.content;
    response.writeHead(200, {
      'Content-Type': part.type,
      'Content-Length': content.length,
      ...(packs ? { 'Content-Encoding': 'gzip' } : {}),
      Vary: 'Accept-Encoding',
      'Cache-Control': 'no-cache',
      'Content-Security-Policy': [
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        'img-src data:',
        `connect-src ws://${this.options.at}:${this.port}`,
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
      ].join('; '),
      'X-Content-Type-Options': 'nosniff',
      'Referrer-Policy': 'no-referrer',
      'Cross-Origin-Resource-Policy': 'same-origin',
    });
    response.end(request.method === 'HEAD' ? undefined : content);
  }

  private receive(request: IncomingMessage, socket: Socket, head: Buffer): void {
    socket.on('error', () => socket.destroy());
    const { searchParams, pathname } = new URL(request.url ?? '', 'http://room');
    const isHere = this.isForUs(request) && request.headers.origin === this.origin;
    if (!isHere || pathname !== '/line') {
      socket.end(`HTTP/1.1 ${isHere ? 404 : 403} No\r\nConnection: close\r\n\r\n`);
      return;
    }
    const from = socket.remoteAddress ?? '';
    const device = searchParams.get('device') ?? '';
    this.sockets.handleUpgrade(request, socket, head, (line) => {
      line.on('error', () => line.terminate());
      const refusal = this.refusal(searchParams.get('code') ?? '', device, from);
      if (refusal) line.close(refusal);
      else this.welcome(line, device, from);
    });
  }

  /** Why a phone is not let in, if so. */
  private refusal(code: string, device: string, from: string): number | undefined {
    const now = Date.now();
    const wrong = this.wrong.get(from);
    const count = wrong && wrong.until > now ? wrong.count : 0;
    if (count >= this.limits.wrongCodes) return closedBecause.tooMuch;
    if (plainCode(code) !== plainCode(this.code) || !/^[\w-]{16,64}$/.test(device)) {
      if (this.wrong.size > 10_000) this.wrong.clear();
      this.wrong.set(from, {
        count: count + 1,
        until: count === 0 ? now + 60_000 : (wrong as { until: number }).until,
      });
      return closedBecause.wrongCode;
    }
    const fromThere = [...this.phones].filter((phone) => phone.from === from).length;
    const isFull = this.phones.size >= this.limits.phones || fromThere >= this.limits.fromOne;
    return isFull ? closedBecause.full : undefined;
  }

  private welcome(socket: WebSocket, device: string, from: string): void {
    const phone: Phone = {
      socket,
      device,
      from,
      isBusy: false,
      isBehind: false,
      isAlive: true,
      left: this.limits.atOnce,
      countedAt: Date.now(),
    };
    this.phones.add(phone);
    socket.on('pong', () => {
      phone.isAlive = true;
    });
    socket.on('message', (data, isBinary) => {
      const mayBe = this.mayStillSend(phone) && !isBinary;
      if (mayBe) this.hear(phone, data.toString());
      else socket.close(closedBecause.tooMuch, 'more than a phone has to say');
    });
    socket.once('close', () => {
      this.phones.delete(phone);
      this.counted();
    });
    this.send(phone);
    this.counted();
  }

  private mayStillSend(phone: Phone): boolean {
    const { atOnce, perSecond } = this.limits;
    const now = Date.now();
    phone.left = Math.min(atOnce, phone.left + ((now - phone.countedAt) / 1000) * perSecond);
    phone.countedAt = now;
    phone.left -= 1;
    return phone.left >= 0;
  }

  private hear(phone: Phone, text: string): void {
    const { device, from } = phone;
    const { step, asks } = this.shown;
    const answer = asks && !this.isOpen ? readAnswer(text, step, asks) : undefined;
    if (answer === undefined) return;
    if (!this.answers.has(device)) {
      // Whoever makes up devices is held to what one address may have.
      const others = [...this.answers.values()].filter((one) => one.from === from).length;
      if (others >= this.limits.fromOne || this.answers.size >= this.limits.phones) return;
    }
    this.answers.set(device, { answer, from });
    phone.socket.send(JSON.stringify({ taken: step } satisfies ToPhone));
    this.counted();
  }

  /** At once when it was quiet, else together with what follows. */
  private tell(): void {
    this.told = JSON.stringify({ shown: this.shown, gathered: this.gathered } satisfies ToPhone);
    const wait = this.toldAt + BETWEEN - Date.now();
    if (wait > 0) this.timer ??= setTimeout(() => this.tellAll(), wait);
    else this.tellAll();
  }

  private tellAll(): void {
    clearTimeout(this.timer);
    this.timer = undefined;
    this.toldAt = Date.now();
    for (const phone of this.phones) this.send(phone);
  }

  /** A phone on a slow line gets the newest next, and nothing of what came between. */
  private send(phone: Phone): void {
    if (phone.socket.readyState !== WebSocket.OPEN) return;
    if (phone.isBusy) {
      phone.isBehind = true;
      return;
    }
    phone.isBusy = true;
    phone.isBehind = false;
    phone.socket.send(this.told, () => {
      phone.isBusy = false;
      if (phone.isBehind) this.send(phone);
    });
  }

  /** Lines that have not answered since the last time are taken down. */
  private feel(): void {
    const beat = JSON.stringify({ beat: 1 } satisfies ToPhone);
    for (const phone of this.phones) {
      if (!phone.isAlive) phone.socket.terminate();
      else {
        phone.isAlive = false;
        phone.socket.ping();
        if (!phone.isBusy) phone.socket.send(beat);
      }
    }
  }
}

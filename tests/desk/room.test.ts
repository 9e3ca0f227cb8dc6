import { once } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { connect } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { WebSocket } from 'ws';
import { Room, roomAddresses, usualLimits } from '../../kernel-lib/desk/room';
import type { Asking, Shown, ToPhone } from '../../kernel-lib/travels/room-talk';
import { type TestDesk, testDesk } from './desk-for-test';

const folder = mkdtempSync(join(tmpdir(), 'multislit-room-'));
writeFileSync(join(folder, 'index.html'), '<!doctype html><title>bench</title>');
writeFileSync(join(folder, 'room.js'), '// the bench');
writeFileSync(join(folder, 'notes.LEGAL.txt'), 'not for phones');
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const device = (count: number) => `device-${String(count).padStart(20, '0')}`;
const words: Asking = { kind: 'word', words: ['fewer', 'more'] };
const asked = (step: string, asks: Asking = words): Shown => ({
  ...{ step, title: step, text: 'Will there be fewer?', asks },
  ...{ place: 0, dark: false },
});
const open = (step: string, bench = 'slits=2', asks: Asking = words): Shown => ({
  ...asked(step, asks),
  bench,
});

/** A phone of the test's own: all that it was told, and a way to wait for more. */
class TestPhone {
  readonly heard: ToPhone[] = [];
  closed: number | undefined;
  private waiting: (() => void)[] = [];

  constructor(readonly socket: WebSocket) {
    const wake = () => {
      for (const go of this.waiting.splice(0)) go();
    };
    socket.on('message', (data) => {
      this.heard.push(JSON.parse(String(data)) as ToPhone);
      wake();
    });
    socket.on('close', (code) => {
      this.closed = code;
      wake();
    });
    socket.on('error', () => {});
  }

  /** The first thing told, from now or before, of which this is true. */
  async until(isIt: (words: ToPhone) => boolean): Promise<ToPhone> {
    for (;;) {
      const found = this.heard.find(isIt);
      if (found) return found;
      if (this.closed !== undefined) throw new Error(`The line was closed: ${this.closed}`);
      await new Promise<void>((go) => this.waiting.push(go));
    }
  }

  async untilClosed(): Promise<number> {
    while (this.closed === undefined) await new Promise<void>((go) => this.waiting.push(go));
    return this.closed;
  }

  shown = (isIt: (shown: Shown) => boolean) =>
    this.until((told) => 'shown' in told && isIt(told.shown));

  say(step: string, expects: unknown): void {
    this.socket.send(JSON.stringify({ step, expects }));
  }

  async answer(step: string, expects: unknown): Promise<void> {
    this.say(step, expects);
    await this.until((told) => 'taken' in told && told.taken === step);
  }
}

describe('a room', () => {
  let room: Room;
  const phones: TestPhone[] = [];
  const counts: [number, number][] = [];
  const made = async (limits = usualLimits) => {
    const onCount = (...both: [number, number]) => counts.push(both);
    room = await Room.open({ folder, at: '127.0.0.1', limits, onCount });
    return room;
  };
  const at = (path: string) => `http://127.0.0.1:${room.port}${path}`;
  const join = (
    count = 1,
    { code = room.code, origin = at(''), path = '/line', from = '' } = {},
  ) => {
    const query = new URLSearchParams({ code, device: device(count) });
    const phone = new TestPhone(
      new WebSocket(`ws://127.0.0.1:${room.port}${path}?${query}`, {
        origin,
        ...(from ? { localAddress: from } : {}),
      }),
    );
    phones.push(phone);
    return phone;
  };
  afterEach(async () => {
    for (const { socket } of phones.splice(0)) socket.terminate();
    await room.close();
    counts.length = 0;
  });

  test('is opened at an address of this machine and at no other', async () => {
    await made();
    expect(roomAddresses().map(({ at }) => at)).toContain('127.0.0.1');
    expect(roomAddresses().at(-1)?.alone).toBe(true);
    // TEST-NET-1 of RFC 5737: no machine has it.
    await expect(Room.open({ folder, at: '192.0.2.1' })).rejects.toThrow(
      'no address of this machine',
    );
    await expect(Room.open({ folder, at: '0.0.0.0' })).rejects.toThrow(
      'no address of this machine',
    );
    expect(room.code).toMatch(/^[A-Z]+ \d\d$/);
  });

  test('serves the built bench and nothing else, in a policy of its own', async () => {
    await made();
    const page = await fetch(at('/'));
    expect(await page.text()).toContain('<title>bench</title>');
    const policy = page.headers.get('content-security-policy');
    expect(policy).toContain("default-src 'none'");
    expect(policy).toContain("script-src 'self'");
    expect(policy).toContain(`connect-src ws://127.0.0.1:${room.port};`);
    expect(policy).not.toMatch(/unsafe|\*|https?:/);
    expect(page.headers.get('set-cookie')).toBeNull();
    expect((await fetch(at('/room.js'))).headers.get('content-type')).toContain('javascript');
    const others = ['/desk/sheets', '/api/contents', '/api/kernels', '/marking', '/sheet/a.ipynb'];
    const files = ['/index.html', '/notes.LEGAL.txt', '/..%2findex.html', '/%2e%2e/package.json'];
    for (const path of [...others, ...files])
      expect([path, (await fetch(at(path))).status]).toEqual([path, 404]);
    for (const method of ['POST', 'PUT', 'DELETE', 'OPTIONS'])
      expect((await fetch(at('/'), { method })).status).toBe(405);
  });

  /** What comes back for a request that no fetch would send. */
  async function raw(request: string): Promise<string> {
    const socket = connect(room.port, '127.0.0.1');
    let said = '';
    socket.on('data', (piece) => {
      said += piece;
    });
    socket.on('error', () => {});
    socket.write(request);
    await once(socket, 'close');
    return said;
  }

  test('a path that leads out, a foreign name and a header without end come to nothing', async () => {
    await made();
    const host = `Host: 127.0.0.1:${room.port}\r\nConnection: close`;
    expect(await raw(`GET /../../package.json HTTP/1.1\r\n${host}\r\n\r\n`)).toMatch(
      /^HTTP\S+ 404/,
    );
    expect(await raw(`GET / HTTP/1.1\r\nHost: lab.example\r\nConnection: close\r\n\r\n`)).toMatch(
      /^HTTP\S+ 421/,
    );
    const long = 'x'.repeat(20_000);
    expect(await raw(`GET / HTTP/1.1\r\n${host}\r\nX-Long: ${long}\r\n\r\n`)).toMatch(
      /^HTTP\S+ 431/,
    );
  });

  test('lets in who has the code, from its own page alone', async () => {
    await made();
    await join(1, { code: room.code.toLowerCase().replace(' ', '') }).shown(() => true);
    expect(await join(2, { code: 'SLATE 00' }).untilClosed()).toBe(4403);
    expect(await join(3, { code: '' }).untilClosed()).toBe(4403);
    // No line at all: 1006 is what a client notes for one that was never opened.
    expect(await join(4, { origin: 'http://lab.example' }).untilClosed()).toBe(1006);
    expect(await join(5, { path: '/desk/room/line' }).untilClosed()).toBe(1006);
  });

  test('who guesses codes is not heard for the rest of the minute', async () => {
    await made({ ...usualLimits, wrongCodes: 3 });
    for (let i = 0; i < 3; i++) expect(await join(i, { code: 'NO 11' }).untilClosed()).toBe(4403);
    expect(await join(9).untilClosed()).toBe(4429);
  });

  test('shows to all, and to who comes late, what is shown; the newest at the end', async () => {
    await made();
    const first = join(1);
    await first.shown(() => true);
    for (let slits = 2; slits <= 50; slits++) room.show(open('', `slits=${slits}`));
    await first.shown(({ bench }) => bench === 'slits=50');
    const last = first.heard.at(-1);
    expect(last && 'shown' in last && last.shown.bench).toBe('slits=50');
    // What a slider passes in a moment does not all go out.
    expect(first.heard.length).toBeLessThan(49);
    const late = join(2);
    await late.shown(() => true);
    expect(late.heard).toHaveLength(1);
    await late.shown(({ bench }) => bench === 'slits=50');
  });

  test('answers are counted once a device, hidden until the film is shown, and name nobody', async () => {
    await made();
    const [one, two, three] = [join(1), join(2), join(3)];
    room.show(asked('2'));
    for (const phone of [one, two, three]) await phone.shown(({ step }) => step === '2');
    await one.answer('2', 'fewer');
    await one.answer('2', 'more');
    await two.answer('2', 'more');
    await three.answer('2', 'fewer');
    // The same device by another line.
    const again = join(1);
    await again.shown(({ step }) => step === '2');
    await again.answer('2', 'fewer');
    expect(counts.at(-1)).toEqual([4, 3]);
    expect(room.expected).toBeUndefined();
    const before = [one, two, three, again].flatMap(({ heard }) => heard);
    expect(JSON.stringify(before)).not.toMatch(/gathered|said|bench"|device/);
    room.show(open('2'));
    const told = await one.until((words) => 'shown' in words && words.gathered !== undefined);
    expect(told).toMatchObject({
      gathered: {
        people: 3,
        said: [
          ['fewer', 2],
          ['more', 1],
        ],
      },
    });
    expect(JSON.stringify(told)).not.toContain('device');
    // Too late: the film lies open.
    two.say('2', 'fewer');
    room.show(asked('3'));
    await two.shown(({ step }) => step === '3');
    room.show(open('3'));
    await two.shown(({ step, bench }) => step === '3' && bench !== undefined);
    expect(room.expected).toBeUndefined();
  });

  test('what is no answer is passed over', async () => {
    await made();
    const phone = join(1);
    room.show(asked('1', { kind: 'paint' }));
    await phone.shown(({ step }) => step === '1');
    for (const wrong of ['fewer', 7, null, 'f'.repeat(239), 'g'.repeat(240), ['0'], { a: 1 }])
      phone.say('1', wrong);
    phone.say('2', 'f'.repeat(240));
    phone.socket.send('{"step":"1"');
    phone.socket.send('[]');
    await phone.answer('1', `${'0'.repeat(120)}${'f'.repeat(120)}`);
    room.show(open('1', 'slits=2', { kind: 'paint' }));
    expect(room.expected?.gathered).toMatchObject({
      people: 1,
      painted: `${'0'.repeat(120)}${'f'.repeat(120)}`,
    });
  });

  test('a phone can neither steer nor flood', async () => {
    await made();
    const [victim, hostile, big] = [join(1), join(2), join(3)];
    room.show(open('', 'slits=5'));
    for (const phone of [victim, hostile, big])
      await phone.shown(({ bench }) => bench === 'slits=5');
    hostile.socket.send(JSON.stringify({ show: open('', 'slits=50') }));
    hostile.socket.send(JSON.stringify({ shown: open('', 'slits=50') }));
    hostile.socket.send(JSON.stringify({ end: true }));
    for (let i = 0; i < 200; i++) hostile.say('1', 'more');
    expect(await hostile.untilClosed()).toBe(4429);
    big.socket.send('x'.repeat(4096));
    // RFC 6455, section 7.4.1: 1009 for a message too big to be read.
    expect(await big.untilClosed()).toBe(1009);
    const binary = join(4);
    await binary.shown(() => true);
    binary.socket.send(Buffer.alloc(10));
    expect(await binary.untilClosed()).toBe(4429);
    room.show(open('', 'slits=6'));
    await victim.shown(({ bench }) => bench === 'slits=6');
    expect(JSON.stringify(victim.heard)).not.toContain('slits=50');
  });

  // A Mac has no second address of its own for a client to come from.
  test.skipIf(process.platform === 'darwin')(
    'one address takes its share of places and of answers, and no more',
    async () => {
      await made({ ...usualLimits, fromOne: 3 });
      const from = '127.0.0.2';
      room.show(asked('1'));
      for (let i = 0; i < 3; i++) {
        const phone = join(i, { from });
        await phone.shown(({ step }) => step === '1');
        await phone.answer('1', 'more');
      }
      expect(await join(3, { from }).untilClosed()).toBe(4503);
      phones[0].socket.terminate();
      await phones[0].untilClosed();
      // The place is free again, the answer is not.
      let next = join(4, { from });
      while ((await Promise.race([next.shown(() => true), next.untilClosed()])) === 4503)
        next = join(4, { from });
      next.say('1', 'fewer');
      const other = join(5);
      await other.shown(({ step }) => step === '1');
      await other.answer('1', 'fewer');
      room.show(open('1'));
      expect(room.expected?.gathered.said).toEqual([
        ['fewer', 1],
        ['more', 3],
      ]);
    },
  );

  test('a room that is closed says so, and answers no more', async () => {
    await made();
    const phone = join(1);
    await phone.shown(() => true);
    const gone = room.close();
    expect(await phone.untilClosed()).toBe(4404);
    await gone;
    await expect(fetch(at('/'))).rejects.toThrow();
  });
});

describe('the door to it on a desk', () => {
  let desk: TestDesk;
  let plain: TestDesk;
  beforeAll(async () => {
    desk = await testDesk(undefined, folder);
    plain = await testDesk();
  });
  afterAll(async () => {
    await desk.end();
    await plain.end();
  });
  const line = (of = desk, headers = {}) =>
    new TestPhone(new WebSocket(`${of.origin.replace('http', 'ws')}/desk/room/line`, { headers }));
  const known = () => ({ Authorization: `token ${desk.token}` });

  test('is off until its page opens one; a desk without the built bench has none', async () => {
    expect((await plain.ask('/desk/room')).status).toBe(404);
    const found = (await (await desk.ask('/desk/room')).json()) as { at: string }[];
    expect(found.map(({ at }) => at)).toContain('127.0.0.1');
    expect(await line(desk, { Origin: desk.origin }).untilClosed()).toBe(1006);
  });

  test('opens for its page, holds through a reload, and shows what that says', async () => {
    const first = line(desk, known());
    await once(first.socket, 'open');
    first.socket.send(JSON.stringify({ open: { at: '127.0.0.1' } }));
    const { opened } = (await first.until((words) => 'opened' in words)) as never as {
      opened: { port: number; code: string };
    };
    const second = line(desk, known());
    await once(second.socket, 'open');
    second.socket.send(JSON.stringify({ open: { at: '127.0.0.1' } }));
    expect(await second.until((words) => 'refused' in words)).toMatchObject({
      refused: expect.stringContaining('open already'),
    });
    // Who does not hold it does not steer it.
    second.socket.send(JSON.stringify({ show: open('', 'slits=50') }));
    second.socket.send(JSON.stringify({ end: true }));
    first.socket.send(JSON.stringify({ show: open('', 'slits=7') }));
    const origin = `http://127.0.0.1:${opened.port}`;
    const query = new URLSearchParams({ code: opened.code, device: device(1) });
    const phone = new TestPhone(
      new WebSocket(`${origin.replace('http', 'ws')}/line?${query}`, { origin }),
    );
    await phone.shown(({ bench }) => bench === 'slits=7');
    // The phones' cookieless address opens nothing on the desk, and the desk's token nothing there.
    expect((await fetch(`${origin}/desk/sheets?token=${desk.token}`)).status).toBe(404);
    first.socket.close();
    await first.untilClosed();
    const after = line(desk, known());
    await once(after.socket, 'open');
    after.socket.send(JSON.stringify({ again: opened.code }));
    await after.until((words) => 'opened' in words);
    after.socket.send(JSON.stringify({ show: open('', 'slits=8') }));
    await phone.shown(({ bench }) => bench === 'slits=8');
    expect(JSON.stringify(phone.heard)).not.toContain('slits=50');
    after.socket.send(JSON.stringify({ end: true }));
    expect(await phone.untilClosed()).toBe(4404);
    await after.until((words) => 'ended' in words);
    second.socket.close();
  });
});

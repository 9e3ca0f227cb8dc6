import { createHmac } from 'node:crypto';
import { readFileSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import { describe, expect, test } from 'vitest';
import { Dealer } from 'zeromq';
import { address, newConnection, writeConnection } from '../../kernel-lib/kernel/connection';
import { compose, createDecoder, decode, encode } from '../../kernel-lib/kernel/wire';
import { sharedKernel } from './kernel';

describe('frames', () => {
  const message = compose('execute_request', { code: 'λ' }, { session: 's' });

  test('are those of the wire protocol', () => {
    const frames = encode(message, 'key', [Buffer.from('route')]).map(String);
    // Jupyter client documentation, "Messaging in Jupyter", The Wire Protocol: the order of the frames,
    // and the signature as the hexadecimal HMAC-SHA256 of the four dictionaries.
    expect(frames.slice(0, 2)).toEqual(['route', '<IDS|MSG>']);
    const hmac = createHmac('sha256', 'key').update(frames.slice(3, 7).join('')).digest('hex');
    expect(frames[2]).toBe(hmac);
    expect(frames.slice(3, 7).map((part) => JSON.parse(part))).toEqual([
      message.header,
      {},
      {},
      { code: 'λ' },
    ]);
  });

  test('come back whole, with routing and buffers', () => {
    message.buffers = [new Uint8Array([1, 2])];
    const frames = encode(message, 'key', [Buffer.from('a'), Buffer.from('b')]).map((f) =>
      Buffer.from(f),
    );
    const arrived = decode(frames, 'key')!;
    expect(arrived.routing.map(String)).toEqual(['a', 'b']);
    expect(arrived.message.content).toEqual({ code: 'λ' });
    expect([...arrived.message.buffers[0]]).toEqual([1, 2]);
  });

  test('without a key are not signed', () => {
    const frames = encode(message, '').map((f) => Buffer.from(f));
    expect(frames[1]).toHaveLength(0);
    expect(decode(frames, '')).toBeDefined();
  });

  test('that came before are not taken again', () => {
    const read = createDecoder('key');
    const sent = (code: string) =>
      encode(compose('execute_request', { code }, { session: 's' }), 'key').map((f) =>
        Buffer.from(f),
      );
    const first = sent('1');
    expect(read(first)?.message.content).toEqual({ code: '1' });
    expect(read(first)).toBeUndefined();
    expect(read(sent('1'))?.message.content).toEqual({ code: '1' });
  });

  const frames = (changed: Record<number, string> = {}) =>
    encode(message, 'key').map((frame, n) => Buffer.from(changed[n] ?? frame));
  test.each([
    ['another key', () => decode(frames(), 'other')],
    ['no signature', () => decode(frames({ 1: '' }), 'key')],
    ['a changed part', () => decode(frames({ 5: '{"code":"x"}' }), 'key')],
    ['a missing part', () => decode(frames().slice(0, 5), 'key')],
    ['no delimiter', () => decode(frames().slice(1), 'key')],
    ['nothing', () => decode([], 'key')],
  ])('with %s are not taken', (_name, read) => {
    expect(read()).toBeUndefined();
  });

  test.each(['not json', '5', 'null', '[]', '{}'])(
    'signed but with the header %s are not taken',
    (header) => {
      const parts = [header, '{}', '{}', '{}'];
      const hmac = createHmac('sha256', 'key').update(parts.join('')).digest('hex');
      expect(
        decode(
          ['<IDS|MSG>', hmac, ...parts].map((part) => Buffer.from(part)),
          'key',
        ),
      ).toBeUndefined();
    },
  );
});

describe('a kernel that is sent rubbish', () => {
  const kernel = sharedKernel();

  test.each(['shell', 'control'] as const)(
    'answers none of it and goes on: %s',
    async (channel) => {
      const socket = new Dealer({ linger: 0 });
      socket.connect(address(kernel.process.connection, channel));
      const { key } = kernel.process.connection;
      const good = compose('kernel_info_request', {}, { session: 'x' });
      await socket.send(encode(good, 'wrong key'));
      await socket.send(['<IDS|MSG>', 'x']);
      await socket.send('');
      await socket.send(['<IDS|MSG>', 'x', 'y', 'z', '{', 'q']);
      await socket.send(encode({ ...good, content: [1] as never }, key));
      const [reply] = [await socket.receive()];
      expect(decode(reply as Buffer[], key)?.message.header.msg_type).toBe('kernel_info_reply');
      await socket.send(encode(compose('shutdown_request', {}, { session: 'x' }), 'wrong key'));
      socket.close();
      expect(await kernel.text('1 + 1')).toBe('2');
    },
  );

  test('wrong fields get an error, not silence', async () => {
    for (const type of ['complete_request', 'inspect_request'])
      expect((await kernel.request(type, { code: 5 })).reply).toMatchObject({ status: 'error' });
    expect((await kernel.request('comm_info_request', { target_name: 5 })).reply.status).toBe('ok');
    expect(await kernel.text('2')).toBe('2');
  });
});

describe('the connection file', () => {
  test('is readable for its owner only, in a folder of its own, and goes away', async () => {
    const connection = await newConnection();
    const { file, remove } = writeConnection(connection);
    expect(JSON.parse(readFileSync(file, 'utf8'))).toEqual(connection);
    expect(connection.ip).toBe('127.0.0.1');
    expect(connection.key).toMatch(/^[0-9a-f]{64}$/);
    if (process.platform !== 'win32') {
      expect(statSync(file).mode & 0o777).toBe(0o600);
      expect(statSync(dirname(file)).mode & 0o777).toBe(0o700);
    }
    remove();
    expect(() => statSync(dirname(file))).toThrow();
  });
});

import { createHmac, randomUUID, timingSafeEqual } from 'node:crypto';
import { createRequire } from 'node:module';
import type * as ZeroMQ from 'zeromq';
import type { Publisher, Router } from 'zeromq';

/** A Jupyter message's header, protocol 5.3. */
export interface Header {
  msg_id: string;
  msg_type: string;
  session: string;
  username: string;
  date: string;
  version: string;
}

/** What identifies the request that a message answers; `{}` when it answers none. */
export type ParentHeader = Header | Record<string, never>;

/** One Jupyter message, without its routing. */
export interface Message {
  header: Header;
  parent_header: ParentHeader;
  metadata: Record<string, unknown>;
  content: Record<string, unknown>;
  buffers: Uint8Array[];
}

export const protocolVersion = '5.3';

/** Frames of the Jupyter wire protocol: [routing…, <IDS|MSG>, signature, header, parent, metadata, content, buffers…]. */
const delimiter = Buffer.from('<IDS|MSG>');

/** A message as it arrived: with the routing frames that lead back to its sender. */
export interface Arrived {
  routing: Buffer[];
  message: Message;
}

function signature(key: string, parts: readonly Uint8Array[]): Buffer {
  if (key === '') return Buffer.alloc(0);
  const hmac = createHmac('sha256', key);
  for (const part of parts) hmac.update(part);
  return Buffer.from(hmac.digest('hex'));
}

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/**
 * Frames to send for one message, signed with HMAC-SHA256 unless the key is empty.
 *
 * @see Jupyter client documentation, "Messaging in Jupyter", The Wire Protocol
 */
export function encode(message: Message, key: string, routing: readonly Uint8Array[] = []) {
  const parts = [message.header, message.parent_header, message.metadata, message.content].map(
    (part) => Buffer.from(JSON.stringify(part)),
  );
  return [...routing, delimiter, signature(key, parts), ...parts, ...message.buffers];
}

/** The message in `frames`, or `undefined` when it is malformed or not signed with the key. */
export function decode(frames: readonly Buffer[], key: string): Arrived | undefined {
  const at = frames.findIndex((frame) => frame.equals(delimiter));
  if (at < 0 || frames.length < at + 6) return undefined;
  const parts = frames.slice(at + 2, at + 6);
  const expected = signature(key, parts);
  const given = frames[at + 1];
  if (given.length !== expected.length || !timingSafeEqual(given, expected)) return undefined;
  try {
    const [header, parent, metadata, content] = parts.map((part) => JSON.parse(part.toString()));
    if (!isRecord(header) || typeof header.msg_type !== 'string') return undefined;
    const message = {
      header,
      parent_header: isRecord(parent) ? parent : {},
      metadata: isRecord(metadata) ? metadata : {},
      content: isRecord(content) ? content : {},
      buffers: frames.slice(at + 6),
    } as unknown as Message;
    return { routing: frames.slice(0, at), message };
  } catch {
    return undefined;
  }
}

/** So many signatures are remembered: a client sends that many messages in days. */
const mostSeen = 65_536;

/**
 * Decodes what arrives on a channel, and refuses what arrived before: who listened in can send a signed message
 * again, though not make one. Without a key there is nothing to tell them by.
 */
export function createDecoder(key: string): (frames: readonly Buffer[]) => Arrived | undefined {
  const seen = new Set<string>();
  return (frames) => {
    const arrived = decode(frames, key);
    if (!arrived || key === '') return arrived;
    const given = frames[arrived.routing.length + 1].toString();
    if (seen.has(given)) return undefined;
    seen.add(given);
    for (const oldest of seen) {
      if (seen.size <= mostSeen) break;
      seen.delete(oldest);
    }
    return arrived;
  };
}

/** A new message of one session, with its own id and time. */
export function compose(
  type: string,
  content: Record<string, unknown>,
  from: { session: string; username?: string; parent?: ParentHeader; buffers?: Uint8Array[] },
): Message {
  return {
    header: {
      msg_id: randomUUID(),
      msg_type: type,
      session: from.session,
      username: from.username ?? 'multislit',
      date: new Date().toISOString(),
      version: protocolVersion,
    },
    parent_header: from.parent ?? {},
    metadata: {},
    content,
    buffers: from.buffers ?? [],
  };
}

/** Sends one kernel's messages on its sockets, at once: also from inside a loop that never yields. */
export function createSender(key: string, session: string) {
  /** Without a limit on what waits and without waiting, every send is done when the call returns. */
  const prepare = <S extends Publisher | Router>(socket: S): S => {
    socket.sendHighWaterMark = 0;
    socket.sendTimeout = 0;
    socket.linger = 1000;
    return socket;
  };

  return {
    prepare,
    reply(
      socket: Router,
      to: { routing: readonly Buffer[]; message: Message },
      type: string,
      content: Record<string, unknown>,
      metadata: Record<string, unknown> = {},
    ): void {
      const message = compose(type, content, { session, parent: to.message.header });
      message.metadata = metadata;
      socket.send(encode(message, key, to.routing)).catch(() => {});
    },
    publish(
      socket: Publisher,
      type: string,
      content: Record<string, unknown>,
      more: {
        parent: ParentHeader;
        metadata?: Record<string, unknown>;
        buffers?: readonly Uint8Array[];
      },
    ): void {
      const message = compose(type, content, { session, parent: more.parent });
      message.metadata = more.metadata ?? {};
      message.buffers = [...(more.buffers ?? [])];
      socket.send(encode(message, key, [Buffer.from(type)])).catch(() => {});
    },
  };
}

/**
 * ZeroMQ's sockets, loaded when the first one is asked for: drawing strips and marking do without.
 * Its native part comes ready-built with the package, for the usual systems only.
 *
 * @throws Error with one sentence where there is none for this system
 */
export function zeromq(): typeof ZeroMQ {
  try {
    return createRequire(import.meta.url)('zeromq');
  } catch (error) {
    const [why] = (error as Error).message.split('\n');
    throw new Error(
      `The kernel's sockets (package zeromq) do not load on this system, ${process.platform} ${process.arch} with Node.js ${process.versions.node}: ${why} Ready-built parts come for Windows, macOS and Linux on Intel and ARM. If packages were just installed, run npm ci once more; elsewhere it builds its own with a C++ compiler, CMake and ninja.`,
    );
  }
}

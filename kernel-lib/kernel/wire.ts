import { createHmac, randomUUID, timingSafeEqual } from 'node:crypto';
import { type Message, type ParentHeader, protocolVersion } from './message';

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

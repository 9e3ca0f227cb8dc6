import type { IMessage } from '@jupyterlab/services/lib/kernel/messages';
import { deserialize, serialize } from '@jupyterlab/services/lib/kernel/serialize';

/** A Jupyter message on one of a kernel's channels. */
export interface WireMessage {
  channel: string;
  header: { msg_id: string; msg_type: string; session: string; [key: string]: unknown };
  parent_header: { msg_id?: string; session?: string; [key: string]: unknown };
  metadata: Record<string, unknown>;
  content: Record<string, unknown>;
  buffers?: Uint8Array[];
}

/** Jupyter Server's newer framing; '' is the older one, JSON text. Both are in its documentation of kernel WebSockets. */
export const framed = 'v1.kernel.websocket.jupyter.org';

/** Message to WebSocket frame. */
export function encode(message: WireMessage, protocol: string): string | ArrayBuffer {
  // The serializer takes the whole memory that a view lies in, and takes the buffers off what it is given.
  const buffers = (message.buffers ?? []).map((buffer) => new Uint8Array(buffer).buffer);
  const { msg_id, msg_type } = message.header;
  const whole = { ...message, msg_id, msg_type, buffers };
  return serialize(whole as unknown as IMessage, protocol);
}

/** WebSocket frame to message. @throws Error when it is none */
export function decode(data: string | Uint8Array, protocol: string): WireMessage {
  const read: unknown = deserialize(
    (typeof data === 'string' ? data : new Uint8Array(data).buffer) as ArrayBuffer,
    typeof data === 'string' ? '' : protocol,
  );
  const message = read as Omit<WireMessage, 'buffers'> & { buffers?: DataView[] };
  const { channel, header, buffers = [] } = message ?? {};
  if (
    typeof channel !== 'string' ||
    typeof header?.msg_id !== 'string' ||
    typeof header.msg_type !== 'string'
  )
    throw new RangeError('The frame is no Jupyter message: channel and header are missing.');
  const bytes = ({ buffer, byteOffset, byteLength }: DataView) =>
    new Uint8Array(buffer as ArrayBuffer, byteOffset, byteLength);
  return { ...message, buffers: buffers.map(bytes) };
}

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

const encoder = new TextEncoder();
const decoder = new TextDecoder();

const json = (part: Uint8Array) => JSON.parse(decoder.decode(part));

function join(parts: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

/** Message to WebSocket frame. */
export function encode(message: WireMessage, protocol: string): string | Uint8Array {
  const { channel, header, parent_header, metadata, content, buffers = [] } = message;
  if (protocol === framed) {
    const texts = [
      channel,
      ...[header, parent_header, metadata, content].map((part) => JSON.stringify(part ?? {})),
    ];
    const parts = [...texts.map((part) => encoder.encode(part)), ...buffers];
    const head = new Uint8Array(8 * (parts.length + 2));
    const view = new DataView(head.buffer);
    view.setBigUint64(0, BigInt(parts.length + 1), true);
    let at = head.length;
    view.setBigUint64(8, BigInt(at), true);
    parts.forEach((part, index) => {
      at += part.length;
      view.setBigUint64(8 * (index + 2), BigInt(at), true);
    });
    return join([head, ...parts]);
  }
  const text = JSON.stringify({
    channel,
    header,
    parent_header,
    metadata,
    content,
    msg_id: header.msg_id,
    msg_type: header.msg_type,
    buffers: [],
  });
  if (buffers.length === 0) return text;
  const parts = [encoder.encode(text), ...buffers];
  const head = new Uint8Array(4 * (parts.length + 1));
  const view = new DataView(head.buffer);
  view.setUint32(0, parts.length);
  let at = head.length;
  parts.forEach((part, index) => {
    view.setUint32(4 * (index + 1), at);
    at += part.length;
  });
  return join([head, ...parts]);
}

/** WebSocket frame to message. Throws a SyntaxError or RangeError when it is none. */
export function decode(data: string | Uint8Array, protocol: string): WireMessage {
  if (typeof data === 'string') return checked(JSON.parse(data));
  const view = new DataView(data.buffer, data.byteOffset, data.byteLength);
  if (protocol === framed) {
    const count = Number(view.getBigUint64(0, true));
    if (count < 6 || 8 * (count + 1) > data.length) throw new RangeError('The frame is cut off.');
    const offsets = Array.from({ length: count }, (_, i) =>
      Number(view.getBigUint64(8 * (i + 1), true)),
    );
    const parts = offsets.slice(1).map((end, i) => data.subarray(offsets[i], end));
    const [header, parent_header, metadata, content] = parts.slice(1, 5).map(json);
    return checked({
      channel: decoder.decode(parts[0]),
      header,
      parent_header,
      metadata,
      content,
      buffers: parts.slice(5),
    });
  }
  const count = view.getUint32(0);
  if (count < 1 || 4 * (count + 1) > data.length) throw new RangeError('The frame is cut off.');
  const starts = Array.from({ length: count }, (_, i) => view.getUint32(4 * (i + 1)));
  const parts = starts.map((start, i) => data.subarray(start, starts[i + 1] ?? data.length));
  return checked({ ...json(parts[0]), buffers: parts.slice(1) });
}

function checked(message: WireMessage): WireMessage {
  const { channel, header } = message ?? {};
  if (
    typeof channel !== 'string' ||
    typeof header?.msg_id !== 'string' ||
    typeof header.msg_type !== 'string'
  )
    throw new RangeError('The frame is no Jupyter message: channel and header are missing.');
  return message;
}

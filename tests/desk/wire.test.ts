import { expect, test } from 'vitest';
import { decode, encode, framed, type WireMessage } from '../../kernel-lib/desk/wire';

/** A message with two buffers that are pieces of a larger memory, as they come from the kernel. */
const memory = Uint8Array.of(9, 9, 1, 2, 3, 9, 4, 9);
const message: WireMessage = {
  channel: 'iopub',
  header: { msg_id: 'a1', msg_type: 'comm_msg', session: 's' },
  parent_header: { msg_id: 'b2', session: 's' },
  metadata: {},
  content: { text: 'λ = 550 nm' },
  buffers: [memory.subarray(2, 5), memory.subarray(6, 7)],
};

test.each(['', framed])(
  'with protocol "%s" a message arrives as it was sent, each time',
  (protocol) => {
    for (let turn = 0; turn < 2; turn++) {
      const frame = encode(message, protocol);
      const read = decode(typeof frame === 'string' ? frame : new Uint8Array(frame), protocol);
      expect(read).toMatchObject(message);
    }
  },
);

// Jupyter Server's documentation of the framing: numbers of 64 bits, low byte first; how many offsets, the offsets, the parts.
test('the newer framing is laid out as its documentation says', () => {
  const frame = new Uint8Array(encode(message, framed) as ArrayBuffer);
  const word = (i: number) => Number(new DataView(frame.buffer).getBigUint64(8 * i, true));
  const text = (i: number) => new TextDecoder().decode(frame.subarray(word(i + 1), word(i + 2)));
  expect(word(0)).toBe(8);
  expect([text(0), JSON.parse(text(1)), JSON.parse(text(4))]).toEqual([
    'iopub',
    message.header,
    message.content,
  ]);
  expect([...frame.subarray(word(6), word(8))]).toEqual([1, 2, 3, 4]);
});

test.each([
  [new Uint8Array([0, 0, 0, 9, 0]), ''],
  [new Uint8Array(8), framed],
  ['{"channel": "shell"}', ''],
  ['null', ''],
])('a frame that is cut off or no message is refused: %s', (frame, protocol) => {
  expect(() => decode(frame, protocol)).toThrow();
});

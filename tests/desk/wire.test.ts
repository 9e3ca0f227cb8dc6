import { deserialize, serialize } from '@jupyterlab/services/lib/kernel/serialize';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { decode, encode, framed, type WireMessage } from '../../kernel-lib/desk/wire';

const bytes = fc.uint8Array({ maxLength: 40 });
const message = fc.record({
  channel: fc.constantFrom('shell', 'iopub', 'control', 'stdin'),
  header: fc.record({ msg_id: fc.string(), msg_type: fc.string(), session: fc.string() }),
  parent_header: fc.record({ msg_id: fc.string() }),
  metadata: fc.dictionary(fc.string(), fc.string()),
  content: fc.dictionary(fc.string(), fc.oneof(fc.string({ unit: 'binary' }), fc.integer())),
  buffers: fc.array(bytes, { maxLength: 3 }),
});
const plain = (value: unknown) => JSON.parse(JSON.stringify(value));
const parts = ({ channel, header, parent_header, metadata, content }: WireMessage) =>
  plain({ channel, header, parent_header, metadata, content });

// The other side of the wire is Jupyter's own client library.
test.each(['', framed])(
  'what is encoded is read by Jupyter\'s client, with protocol "%s"',
  (protocol) => {
    fc.assert(
      fc.property(message, (sent) => {
        const frame = encode(sent, protocol);
        const data = typeof frame === 'string' ? frame : new Uint8Array(frame).buffer;
        const read = deserialize(data as ArrayBuffer, protocol) as unknown as WireMessage;
        expect(parts(read)).toEqual(parts(sent));
        const got = (read.buffers ?? []).map((view) => [
          ...new Uint8Array(view.buffer, view.byteOffset, view.byteLength),
        ]);
        expect(got).toEqual(sent.buffers.map((buffer) => [...buffer]));
      }),
      { seed: 4, numRuns: 200 },
    );
  },
);

test.each(['', framed])(
  'what Jupyter\'s client sends is decoded, with protocol "%s"',
  (protocol) => {
    fc.assert(
      fc.property(message, (sent) => {
        const buffers = sent.buffers.map((buffer) => new Uint8Array(buffer).buffer);
        const frame = serialize({ ...sent, buffers } as never, protocol);
        const read = decode(typeof frame === 'string' ? frame : new Uint8Array(frame), protocol);
        expect(parts(read)).toEqual(parts(sent));
        expect((read.buffers ?? []).map((buffer) => [...buffer])).toEqual(
          sent.buffers.map((buffer) => [...buffer]),
        );
      }),
      { seed: 5, numRuns: 200 },
    );
  },
);

test('a frame that is cut off or no message is refused', () => {
  expect(() => decode(new Uint8Array([0, 0, 0, 9, 0]), '')).toThrow(RangeError);
  expect(() => decode(new Uint8Array(8), framed)).toThrow(RangeError);
  expect(() => decode('{"channel": "shell"}', '')).toThrow('no Jupyter message');
});

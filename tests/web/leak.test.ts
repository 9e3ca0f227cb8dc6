import { brotliCompressSync, deflateSync, gzipSync } from 'node:zlib';
import { strToU8, zipSync } from 'fflate';
import { expect, test } from 'vitest';
import { allSecrets } from '../cli/hand-out-secrets';
import { leaks } from './every-text';

// The reader that says a site holds nothing of any key finds what is planted: in each kind of file that a site has, and
// wrapped as its parts are.

const { text: planted, what } = allSecrets().find(
  ({ text, isCode }) => isCode && /["'(]/.test(text),
)!;
const around = (text: string) => `const before = 1; ${text} const after = 2;`;
const bytes = Buffer.from(around(planted));

const number = (value: number) => {
  const four = Buffer.alloc(4);
  four.writeUInt32BE(value);
  return four;
};

/** A PNG of one line with these chunks (PNG, 3rd edition, section 5; readers that check a chunk's CRC are not asked). */
function png(pixels: Uint8Array, ...more: readonly [string, Uint8Array][]): Buffer {
  const chunks: (readonly [string, Uint8Array])[] = [
    ['IHDR', new Uint8Array(13)],
    ...more,
    ['IDAT', deflateSync(pixels)],
    ['IEND', new Uint8Array()],
  ];
  const written = chunks.flatMap(([name, data]) => [
    number(data.length),
    Buffer.from(name),
    data,
    number(0),
  ]);
  return Buffer.concat([Buffer.from([0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10]), ...written]);
}

/** A font with one table (WOFF, section 4: header of 44 bytes, entries of 20). */
function woff(table: Buffer): Buffer {
  const packed = deflateSync(table);
  const head = Buffer.alloc(44);
  head.write('wOFF', 0, 'latin1');
  head.writeUInt16BE(1, 12);
  const entry = [
    Buffer.from('name'),
    number(64),
    number(packed.length),
    number(table.length),
    number(0),
  ];
  return Buffer.concat([head, ...entry, packed]);
}

/** The same in WOFF 2 (section 4: header of 48 bytes; `name` is the known tag 5; lengths of 7 bits a byte). */
function woff2(table: Buffer): Buffer {
  const packed = brotliCompressSync(table);
  const head = Buffer.alloc(48);
  head.write('wOF2', 0, 'latin1');
  head.writeUInt16BE(1, 12);
  head.writeUInt32BE(packed.length, 20);
  const length = [0x80 | (table.length >> 7), table.length & 0x7f];
  return Buffer.concat([head, Buffer.from([5, ...length]), packed]);
}

const inBase64 = (data: Uint8Array) => Buffer.from(data).toString('base64');
const zip = (name: string, data: Uint8Array) => zipSync({ [name]: data });
const twoBytes = Buffer.concat([
  Buffer.from([0, 1, 0, 0]),
  Buffer.from(around(planted), 'utf16le').swap16(),
]);

const plants: Readonly<Record<string, readonly [string, Uint8Array]>> = {
  'a script': ['page/app.js', bytes],
  'a text in a script': ['page/app.js', strToU8(`const x = ${JSON.stringify(around(planted))};`)],
  'a list of data': ['sheets.json', strToU8(JSON.stringify([{ x: around(planted) }]))],
  'a text in a list in a list': [
    'a.json',
    strToU8(JSON.stringify({ x: JSON.stringify([planted]) })),
  ],
  'letters by their numbers': [
    'page/app.js',
    strToU8(
      [...planted].map((sign) => `\\x${sign.charCodeAt(0).toString(16).padStart(2, '0')}`).join(''),
    ),
  ],
  'a page': [
    'index.html',
    strToU8(`<p title="${planted.replace(/["&<>]/g, (sign) => `&#${sign.charCodeAt(0)};`)}">`),
  ],
  'a style': [
    'page/app.css',
    strToU8(`p::before { content: "${planted.replaceAll('"', '\\"')}" }`),
  ],
  'a picture in an address': [
    'a.css',
    strToU8(`url("data:image/svg+xml,${encodeURIComponent(`<svg>${around(planted)}</svg>`)}")`),
  ],
  base64: ['page/app.js', strToU8(`load("${inBase64(bytes)}")`)],
  gzip: ['a.gz', gzipSync(bytes)],
  brotli: ['a.br', brotliCompressSync(bytes)],
  zip: ['a.zip', zip('key.ts', bytes)],
  'the single file': [
    'one.html',
    strToU8(`<div id="packed">${inBase64(zip('page/app.js', bytes))}</div>`),
  ],
  'a font in a style in the single file': [
    'one.html',
    strToU8(
      inBase64(zip('a.css', strToU8(`src:url(data:font/woff2;base64,${inBase64(woff2(bytes))})`))),
    ),
  ],
  'pixels of a PNG': ['icon.png', png(bytes)],
  'a text of a PNG': [
    'icon.png',
    png(new Uint8Array(9), ['tEXt', Buffer.concat([strToU8('Key\0'), bytes])]),
  ],
  'a packed text of a PNG': [
    'icon.png',
    png(new Uint8Array(9), ['zTXt', Buffer.concat([strToU8('Key\0\0'), deflateSync(bytes)])]),
  ],
  'an international text of a PNG': [
    'icon.png',
    png(new Uint8Array(9), [
      'iTXt',
      Buffer.concat([strToU8('Key\0\u0001\0en\0Key\0'), deflateSync(bytes)]),
    ]),
  ],
  'a font': ['a.ttf', Buffer.concat([Buffer.from([0, 1, 0, 0]), bytes])],
  'a font, two bytes a letter': ['a.ttf', twoBytes],
  'a packed font': ['a.woff', woff(Buffer.from(bytes))],
  'a font of the newer form': ['a.woff2', woff2(twoBytes)],
};

test.each(Object.entries(plants))('what is planted in %s is found', (_, part) => {
  expect(leaks([part]).filter((found) => found.includes(what))).not.toEqual([]);
});

test('where nothing is planted nothing is found', () => {
  expect(leaks([['page/app.js', strToU8(around('return sum;'))]])).toEqual([]);
});

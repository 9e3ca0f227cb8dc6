import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { crc32 as crc32OfNode } from 'node:zlib';
import { describe, expect, test } from 'vitest';
import { crc32 } from '../../kernel-lib/marking/crc32';
import { type Refused, unpack } from '../../kernel-lib/marking/unpack';
import { codePage437, contentOf, zipEntries } from '../../kernel-lib/marking/zip-entries';
import { zipOf } from '../hostile/zip-of';
import { scratch } from '../scratch';

const python = ['/usr/bin/python3', 'python3'].find((one) => spawnSync(one, ['-V']).status === 0);
const { at } = scratch('zip-entries-');

/** A zip as Python's zipfile writes it. */
function byPython(script: string): Uint8Array {
  const file = at('made.zip');
  const { status, stderr } = spawnSync(python as string, [
    '-c',
    `import zipfile, sys\n${script}`,
    file,
  ]);
  if (status !== 0) throw new Error(String(stderr));
  return readFileSync(file);
}
const listed = (zip: Uint8Array) =>
  [...zipEntries(zip)].map((entry) => [
    entry.name,
    new TextDecoder().decode(contentOf(zip, entry)),
  ]);
function unpacked(bytes: Uint8Array) {
  const refused: Refused[] = [];
  const files = [...unpack({ path: 'a.zip', bytes }, (one) => refused.push(one))];
  return { files, refused };
}

describe('a zip, entry by entry', () => {
  // Source: CPython's zipfile, which also writes ZIP64 and names in UTF-8.
  test.skipIf(!python)('two entries of one name, umlauts, packed and plain, ZIP64', () => {
    const zip = byPython(`
import warnings; warnings.simplefilter("ignore")
with zipfile.ZipFile(sys.argv[1], "w", zipfile.ZIP_DEFLATED) as z:
    z.writestr("a.txt", "one"); z.writestr("a.txt", "two"); z.writestr("__proto__", "three")
    z.writestr("Übung.txt", "four" * 100, zipfile.ZIP_STORED)
    with z.open("large.txt", "w", force_zip64=True) as f: f.write(b"five")
    z.comment = b"PK\\x05\\x06 is no end"`);
    expect(listed(zip)).toEqual([
      ['a.txt', 'one'],
      ['a.txt', 'two'],
      ['__proto__', 'three'],
      ['Übung.txt', 'four'.repeat(100)],
      ['large.txt', 'five'],
    ]);
  });

  test('what stands before the archive does no harm', () => {
    const zip = zipOf([{ name: 'a', content: 'one' }]);
    expect(listed(Buffer.concat([Buffer.from('#!/bin/sh\n'), zip]))).toEqual([['a', 'one']]);
  });

  test.skipIf(!python)('a name in the old code page is what Python’s codec cp437 reads', () => {
    const all = Uint8Array.from({ length: 128 }, (_, i) => 128 + i);
    const { stdout } = spawnSync(python as string, [
      '-c',
      'import sys; sys.stdout.buffer.write(bytes(range(128, 256)).decode("cp437").encode())',
    ]);
    expect(codePage437(all)).toBe(String(stdout));
    expect(listed(zipOf([{ name: Uint8Array.from([0x9a, 0x62]), content: '' }]))).toEqual([
      ['Üb', ''],
    ]);
  });

  test('an entry that is locked, damaged or packed oddly refuses itself only', () => {
    const sound = { name: 'sound', content: 'x'.repeat(50) };
    const { files, refused } = unpacked(
      zipOf([
        { ...sound, name: 'locked', flags: 1 },
        { ...sound, name: 'odd', method: 97 },
        { ...sound, name: 'other sum', crc: 7 },
        { ...sound, name: 'longer', size: 9 },
        sound,
      ]),
    );
    expect(files.map(({ path }) => path)).toEqual(['a.zip/sound']);
    expect(refused.map(({ path, why }) => [path, why])).toEqual([
      ['a.zip/locked', expect.stringContaining('locked with a password')],
      ['a.zip/odd', expect.stringContaining('a way (97) that is not read here')],
      ['a.zip/other sum', expect.stringContaining('checksum is another')],
      ['a.zip/longer', expect.stringContaining('damaged')],
    ]);
  });

  test('a document of an office program is one row', () => {
    const parts = ['[Content_Types].xml', 'word/document.xml', 'word/styles.xml'];
    const { files, refused } = unpacked(zipOf(parts.map((name) => ({ name, content: '<x/>' }))));
    expect(files).toEqual([]);
    expect(refused).toEqual([
      expect.objectContaining({
        path: 'a.zip',
        why: expect.stringMatching(/^It is a text document/),
      }),
    ]);
  });

  test('names are cut, however long; what is beyond the bounds is one row with a count', () => {
    const entries = Array.from({ length: 6000 }, (_, i) => ({ name: `${i}.txt`, content: '' }));
    const inner = zipOf([...entries, { name: 'late.ipynb', content: 'x' }]);
    const { files, refused } = unpacked(
      zipOf([{ name: `${'n'.repeat(60_000)}.zip`, content: inner }]),
    );
    expect(Math.max(...files.map(({ path }) => path.length))).toBeLessThan(310);
    // A notebook at the end of the list is looked at before five thousand other files.
    expect(files[0].path).toMatch(/late\.ipynb$/);
    expect(refused).toEqual([expect.objectContaining({ count: 1002 })]);
  });
});

test('the checksum is that of zlib', () => {
  for (const text of ['', 'a', '123456789', 'ü'.repeat(1000)])
    expect(crc32(new TextEncoder().encode(text))).toBe(crc32OfNode(text));
});

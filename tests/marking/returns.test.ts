import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { strToU8, zipSync } from 'fflate';
import { afterAll, describe, expect, test } from 'vitest';
import { tableText } from '../../kernel-lib/marking/csv';
import { identify } from '../../kernel-lib/marking/found-return';
import { readPeople, readRoster, rosterHead } from '../../kernel-lib/marking/roster';
import {
  isLitter,
  isZip,
  type Refused,
  type ReturnedFile,
  unpack as unpackEach,
  unpackLimits,
} from '../../kernel-lib/marking/unpack';
import { zipEntries } from '../../kernel-lib/marking/zip-entries';

const bytes = strToU8;

function unpack(archive: ReturnedFile, limits = unpackLimits) {
  const refused: Refused[] = [];
  const files = [...unpackEach(archive, (one) => refused.push(one), limits)];
  return { files, refused };
}

const timesOf = (zip: Uint8Array) =>
  new Map([...zipEntries(zip)].map(({ name, time }) => [name, time]));

describe('unpacking', () => {
  test('finds files in archives within archives and keeps their path as a label', () => {
    const mtime = new Date(2026, 10, 20, 13, 30, 8);
    const inner = zipSync({ 'b/two.ipynb': bytes('2') }, { mtime: new Date(2020, 1, 1) });
    const outer = zipSync({ 'one.ipynb': bytes('1'), 'group.zip': inner }, { mtime });
    const { files, refused } = unpack({ path: 'class.zip', bytes: outer, time: 5 });
    expect(files.map(({ path }) => path)).toEqual([
      'class.zip/one.ipynb',
      'class.zip/group.zip/b/two.ipynb',
    ]);
    expect(files.map(({ time }) => time)).toEqual([5, 5]);
    // Of the stamps that of the outermost archive: the inner one was packed by somebody else.
    expect(files.map(({ archive }) => archive?.time)).toEqual([mtime.getTime(), mtime.getTime()]);
    expect(files[1].archive?.entry).toBe('group.zip');
    expect(refused).toEqual([]);
  });

  test('a path that climbs out is only a label', () => {
    const { files } = unpack({ path: 'a.zip', bytes: zipSync({ '../../x.ipynb': bytes('1') }) });
    expect(files[0].path).toBe('a.zip/../../x.ipynb');
  });

  test('an archive that unpacks to too much is refused before it is unpacked', () => {
    const bomb = zipSync({ 'big.ipynb': new Uint8Array(40 * 2 ** 20) });
    expect(bomb.length).toBeLessThan(100_000);
    const { files, refused } = unpack({ path: 'bomb.zip', bytes: bomb });
    expect(files).toEqual([]);
    expect(refused[0].why).toMatch(/unpacks to 40 MB; up to 20 MB/);
  });

  test('many middling files stop at the bound of the whole archive', () => {
    const many = Object.fromEntries(
      [...Array(5).keys()].map((i) => [`${i}.ipynb`, new Uint8Array(1000)]),
    );
    const limits = { ...unpackLimits, archive: 2500 };
    const { files, refused } = unpack({ path: 'm.zip', bytes: zipSync(many) }, limits);
    expect(files).toHaveLength(2);
    expect(refused).toEqual([expect.objectContaining({ path: 'm.zip', count: 3 })]);
  });

  test('archives nested without end stop at a depth', () => {
    let zip = zipSync({ 'x.ipynb': bytes('1') });
    for (let i = 0; i < 5; i++) zip = zipSync({ 'in.zip': zip });
    const { files, refused } = unpack({ path: 'deep.zip', bytes: zip });
    expect(files).toEqual([]);
    expect(refused[0].why).toMatch(/too deep/);
  });

  test('a damaged archive is a sentence', () => {
    const whole = zipSync({ 'x.ipynb': bytes('1'.repeat(5000)) });
    const { refused } = unpack({ path: 'cut.zip', bytes: whole.slice(0, 60) });
    expect(refused[0].why).toMatch(/damaged/);
  });

  test('zips are told by their bytes, litter by its name', () => {
    expect(isZip(zipSync({ a: bytes('1') }))).toBe(true);
    expect(isZip(bytes('PK is how this text begins'))).toBe(false);
    expect(isLitter('__MACOSX/._x.ipynb')).toBe(true);
    expect(isLitter('a/.ipynb_checkpoints/x.ipynb')).toBe(true);
    expect(isLitter('a/x.ipynb')).toBe(false);
  });
});

describe('times kept in a zip', () => {
  const folder = mkdtempSync(join(tmpdir(), 'zip-'));
  afterAll(() => rmSync(folder, { recursive: true }));

  const hasZip = spawnSync('zip', ['-v']).status === 0;
  test.skipIf(!hasZip)('UTC where it stands, as in what Info-ZIP’s zip makes elsewhere', () => {
    const at = Date.UTC(2026, 10, 20, 13, 30, 8);
    writeFileSync(join(folder, 'a.ipynb'), '{}');
    utimesSync(join(folder, 'a.ipynb'), at / 1000, at / 1000);
    const environment = { ...process.env, TZ: 'Asia/Tokyo' };
    spawnSync('zip', ['-q', 'a.zip', 'a.ipynb'], { cwd: folder, env: environment });
    expect(timesOf(readFileSync(join(folder, 'a.zip')))).toEqual(new Map([['a.ipynb', at]]));
  });

  test('local time to two seconds otherwise; none for 1980 and for damage', () => {
    const mtime = new Date(2026, 1, 3, 4, 5, 6);
    const plain = zipSync({ 'a/b.ipynb': bytes('1') }, { mtime });
    expect(timesOf(plain)).toEqual(new Map([['a/b.ipynb', mtime.getTime()]]));
    const unknown = zipSync({ x: bytes('1') }, { mtime: new Date(1980, 0, 1) });
    expect(timesOf(unknown).get('x')).toBeUndefined();
    expect(() => timesOf(plain.slice(0, 40))).toThrow(/end is missing/);
    expect(() => timesOf(bytes('PK'))).toThrow(/end is missing/);
  });
});

describe('the roster', () => {
  test('reads a column of numbers among others, comma or semicolon', () => {
    const comma = readRoster('group,student,extra days\nA,204117,\nB,0042,2\n');
    expect(comma).toEqual([
      { student: '204117', extraDays: 0 },
      { student: '0042', extraDays: 2 },
    ]);
    expect(readRoster('\uFEFFstudent;group\r\n204117;A\r\n')).toEqual([
      { student: '204117', extraDays: 0 },
    ]);
    expect(readRoster('204117\n204118\n')).toHaveLength(2);
  });

  test.each([
    ['', /empty/],
    ['name\nx\n', /columns name; one named "student"/],
    ['student\n12\n', /Line 2.*"12".*4 to 10 digits/],
    ['student\n204117\n204117\n', /Line 3.*repeats 204117/],
    ['student,extra days\n204117,soon\n', /"soon".*0 or more/],
    ['student\n204117\n12\n204117\n', /Line 3.*"12".*\n.*Line 4.*repeats 204117, after line 2/],
    ['student\n2.04E+05\n', /"2.04E\+05".*A spreadsheet has rewritten the number/],
  ])('%j is refused with the line and the mend', (text, sentence) => {
    expect(() => readRoster(text)).toThrow(sentence);
  });

  test('columns that are not recognised can be said, and then tell names, addresses and groups', () => {
    const list = 'Kennzahl;Wer;Post;Bank\n204117;Mira Tarrow;mira@alderbeck.example;North bench\n';
    expect(rosterHead(list).known).toEqual({});
    expect(() => readRoster(list)).toThrow(/has the columns Kennzahl, Wer, Post, Bank/);
    const columns = { student: 'kennzahl', name: 'Wer', email: 'Post', group: 'Bank' };
    expect(readRoster(list, columns)).toEqual([{ student: '204117', extraDays: 0 }]);
    expect(readPeople(list, columns).get('204117')).toEqual({
      ...{ name: 'Mira Tarrow', email: 'mira@alderbeck.example', group: 'North bench' },
    });
    expect(() => readRoster(list, { student: 'Nummer' })).toThrow(
      /has no column "Nummer" for student; it has Kennzahl, Wer, Post, Bank/,
    );
    expect(rosterHead(list, columns).known).toEqual({
      ...{ student: 'Kennzahl', name: 'Wer', email: 'Post', group: 'Bank' },
    });
  });

  test('a list is read in the letters that spreadsheets save: UTF-16, cp1252, and not as their own file', () => {
    const list = 'student\tname\r\n204117\tZoë Tarrow\r\n';
    const utf16 = Buffer.concat([Buffer.from([0xff, 0xfe]), Buffer.from(list, 'utf16le')]);
    for (const saved of [utf16, Buffer.from(list, 'latin1'), Buffer.from(list)])
      expect(readPeople(tableText(saved)).get('204117')?.name).toBe('Zoë Tarrow');
    // A workbook is a zip: its first bytes are those of PKWARE's APPNOTE (from memory).
    expect(() => tableText(zipSync({ 'xl/workbook.xml': bytes('<x/>') }))).toThrow(
      /spreadsheet’s own file.*Save as/,
    );
  });
});

describe('whose return it is', () => {
  const roster = new Set(['204117', '204118', '310502']);
  const known = { roster, inNames: roster };

  test('the number in the notebook comes first', () => {
    expect(identify('x.ipynb', '204117', known)).toEqual({ student: '204117' });
  });

  test.each(['204 117', ' s204117', 'S-204.117'])('%j is 204117, and is told', (typed) => {
    expect(identify('x.ipynb', typed, known)).toMatchObject({
      student: '204117',
      note: expect.stringContaining('204117 was taken'),
    });
  });

  test('a name that says otherwise is noted, with a roster and without', () => {
    const note = expect.stringContaining('204118');
    const expected = { student: '204117', note, namesAnother: true };
    expect(identify('204118/x.ipynb', '204117', known)).toMatchObject(expected);
    expect(identify('204118/x.ipynb', '204117', { inNames: roster })).toMatchObject(expected);
    expect(identify('204117_204118/x.ipynb', '204117', known)).toEqual({ student: '204117' });
  });

  test('without a number of its own the file or folder name serves, if it is in the roster', () => {
    expect(identify('204118_late/s.ipynb', '000000', known)).toMatchObject({
      student: '204118',
      note: expect.stringContaining("file's name"),
    });
    expect(identify('999999.ipynb', '000000', known)).toMatchObject({ reason: 'unknown student' });
  });

  test('a mistyped number is judged with both: by the name, else by one slip of the fingers', () => {
    expect(identify('204117.ipynb', '999999', known)).toMatchObject({
      student: '204117',
      typed: '999999',
    });
    for (const typed of ['310520', '31502', '3105022', '310503'])
      expect(identify('x.ipynb', typed, known)).toMatchObject({
        student: '310502',
        typed,
        namesAnother: true,
        note: expect.stringMatching(/is one slip from it and was taken/),
      });
    // One slip from two students: nobody's.
    expect(identify('x.ipynb', '204119', known)).toMatchObject({
      reason: 'unknown student',
      why: expect.stringContaining('One slip from it are 204117, 204118.'),
    });
  });

  test('a number outside the roster, two numbers in the name: said, not guessed', () => {
    expect(identify('x.ipynb', '555555', known)).toMatchObject({
      reason: 'unknown student',
      why: expect.stringContaining('555555 is not in the roster'),
    });
    expect(identify('204117-204118.ipynb', '', known)).toMatchObject({
      why: expect.stringContaining('several students'),
    });
    expect(identify('x.ipynb', '../../204117', known)).toMatchObject({ reason: 'unknown student' });
  });

  test('without a roster any well-formed number is taken', () => {
    expect(identify('x.ipynb', '555555', { inNames: new Set() })).toEqual({ student: '555555' });
  });
});

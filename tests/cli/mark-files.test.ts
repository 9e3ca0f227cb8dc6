import { strToU8, zipSync } from 'fflate';
import { beforeAll, describe, expect, test } from 'vitest';
import { encodePicture } from '../../kernel-lib/fitting/slits/slit-picture';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';
import { zipOf } from '../hostile/zip-of';
import { needs } from '../needs';
import { handIn, keyOf, machineMarks, modelReturn, oneSlit } from './class-for-test';
import { markingStage } from './marking-stage';

// What is read from the files decides the marks: an answer is right only with the number that stands in the file.

const { skip } = needs('bwrap');
const full = machineMarks(oneSlit);
const { at, mark, rows, record, marksOf } = markingStage('mark-files-', '--sheet', oneSlit);

const picture = encodePicture({ width: 40, height: 2, channels: 1, data: new Uint8Array(80) });
const model = keyOf(oneSlit).model['2-1-work'];
/** The model's answer times what the expression gives: 1 with the right file. */
const times = (expression: string) =>
  `import { readPicture, readTable } from 'multislit';\n${model.replace('const firstDarkLine', 'const modelLine')}\nconst firstDarkLine = modelLine * (${expression});`;
const withPicture = times("readPicture('my.png').width / 40");
const returned = (student: string, work: string) =>
  strToU8(writeNotebook(modelReturn(oneSlit, student, { '2-1-work': work })));
/** What the answer that comes from the file earned. */
const earned = (student: string) =>
  record(student).questions.find(({ question }) => question === '2.1')?.marks;

/** Looks for everything but its own file, and says what it got. */
const curious = `import fs from 'node:fs';
const got: string[] = fs.readdirSync('.');
for (const path of ['/etc/passwd', '../etc/passwd', '/tmp', '..'])
  try { fs.statSync(path).isDirectory() ? got.push(...fs.readdirSync(path)) : fs.readFileSync(path); got.push(path); } catch { }
try { fs.writeFileSync('my.png', ''); got.push('wrote'); } catch { }
console.log('got ' + got.join());
${withPicture}`;

beforeAll(() => {
  const sheet = 'sheet.ipynb';
  const put = (name: string, what: Uint8Array | string) => handIn(at('returns'), name, what);
  put('1001.zip', zipSync({ [sheet]: returned('1001', withPicture), 'my.png': picture }));
  const table = times("readTable('Übung.csv').y[0] / 7");
  // The old code page of zips: Ü is 0x9A (Python's codec cp437).
  const old = [{ name: sheet, content: returned('1002', table) }];
  const named = {
    name: Uint8Array.of(0x9a, ...strToU8('bung.csv')),
    content: 'x / mm;signal\n0;7\n1;8',
  };
  put('1002.zip', zipOf([...old, named]));
  put('1003/sheet.ipynb', returned('1003', curious));
  put('1003/my.png', picture);
  const climbs = zipSync({ [sheet]: returned('1004', withPicture), '../my.png': picture });
  put('1004.zip', climbs);
  const link = [strToU8('/etc/passwd'), { os: 3, attrs: 0o120777 << 16 }] as const;
  put('1005.zip', zipSync({ [sheet]: returned('1005', withPicture), 'my.png': [...link] }));
  put(
    '1006.zip',
    zipOf([
      { name: sheet, content: returned('1006', withPicture) },
      { name: 'my.png', content: picture },
      { name: 'my.png', content: strToU8('another') },
    ]),
  );
  // Says that it is 60000 pixels wide and high; so large is nothing that is decoded.
  const vast = picture.slice();
  new DataView(vast.buffer).setUint32(16, 60_000);
  new DataView(vast.buffer).setUint32(20, 60_000);
  put('1007.zip', zipSync({ [sheet]: returned('1007', withPicture), 'my.png': vast }));
  put('1008.zip', zipSync({ [sheet]: returned('1008', withPicture), 'MY.PNG': picture }));
  const bomb = new Uint8Array(40 * 2 ** 20);
  put('1009.zip', zipSync({ [sheet]: returned('1009', withPicture), 'my.png': bomb }));
});

describe.skipIf(skip)('files that come with a notebook', () => {
  test('are read when it is marked, and nothing else is', async () => {
    expect((await mark()).code).toBe(0);
    expect(marksOf('1001'), 'a picture in a zip').toBe(full);
    expect(marksOf('1002'), 'a table with an umlaut in the old code page').toBe(full);
    expect(marksOf('1003'), 'a picture in a folder').toBe(full);
    expect(JSON.stringify(record('1003').cells)).toContain('got my.png\\n');
    expect(marksOf('1008'), 'a name in other capitals').toBe(full);
    expect(record('1008').flags).toEqual(['MY.PNG is read as my.png, as the cells call it.']);
    const row = (path: string) => rows('returns.csv').find((one) => one.path === path);
    expect(row('1001.zip/my.png')).toMatchObject({ outcome: 'beside a notebook' });
    expect(JSON.stringify(row('1001.zip/my.png'))).toContain('Came with a notebook');
  });

  test('what cannot be settled is not read, and the reason stands beside it', () => {
    for (const student of ['1004', '1005', '1006', '1007', '1009'])
      expect(earned(student), student).toBe(0);
    const why = (student: string) =>
      record(student).cells.find(({ error }) => error)?.error?.message;
    for (const student of ['1004', '1005', '1006', '1009'])
      expect(why(student), student).toMatch(/^There is no file "my.png" beside the notebook\./);
    const says = Object.fromEntries(
      rows('returns.csv').map((one) => [one.path, JSON.stringify(one)]),
    );
    expect(says['1004.zip/../my.png']).toMatch(/not in its folder: its cells cannot read it/);
    expect(says['1005.zip/my.png']).toMatch(/It is a link; links are not followed/);
    expect(record('1006').flags?.[0]).toMatch(/^2 files of this return could be my.png/);
    expect(why('1007')).toMatch(/^The picture has 3600 million pixels/);
    expect(says['1009.zip/my.png']).toMatch(/unpacks to 40 MB; up to 20 MB/);
  });

  test('the same text with another file is another return', async () => {
    const narrow = encodePicture({ width: 20, height: 2, channels: 1, data: new Uint8Array(40) });
    const zip = { 'sheet.ipynb': returned('1001', withPicture), 'my.png': narrow };
    handIn(at('returns'), '1001.zip', zipSync(zip));
    expect((await mark()).code).toBe(0);
    expect(earned('1001')).toBe(0);
  });
});

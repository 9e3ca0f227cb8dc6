import { strToU8, zipSync } from 'fflate';
import { writeNotebook } from '../../../kernel-lib/notebook/write-notebook';
import { modelReturn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile, HostileFiles } from '../hostile-file';
import { type EntryToPack, zipOf } from '../zip-of';

const unreadable = /^cannot be read$/;
const model = (student: string) => writeNotebook(modelReturn(oneSlit, student));
const blank = (student: string) => writeNotebook(returnOf(oneSlit, student));

/** A zip whose one entry is a notebook with all answers, and in which something is odd. */
const entry = (
  tells: string,
  lie: Partial<EntryToPack>,
  rest: Partial<HostileFile>,
): HostileFile => ({
  tells,
  what: (student) => zipOf([{ name: 'a.ipynb', content: model(student), ...lie }]),
  ...rest,
});

const archives: HostileFiles = {
  'damaged-zip': {
    tells: 'Is a zip with its end missing.',
    outcome: unreadable,
    what: () => zipSync({ 'x.ipynb': strToU8('x'.repeat(5000)) }).slice(0, 80),
  },
  'lying-size': entry(
    'Is a zip whose file is larger than it says.',
    { size: 10 },
    { outcome: unreadable },
  ),
  'wrong-checksum': entry(
    'Is a zip in which a notebook is not what its checksum says.',
    { crc: 1 },
    { outcome: unreadable },
  ),
  'unknown-packing': entry(
    'Is a zip packed in a way that hardly any program reads.',
    { method: 97 },
    { outcome: unreadable },
  ),
  'entry-named-proto': entry(
    'Is a zip whose file is called __proto__.',
    { name: '__proto__' },
    { earns: 'all' },
  ),
  'name-in-an-old-code': entry(
    'Is a zip whose file has a name in the code of the first PCs.',
    { name: Uint8Array.from([0x9a, 0x62, 0x75, 0x6e, 0x67]) },
    { earns: 'all' },
  ),
  'list-without-end': {
    tells: 'Is a zip that says it has 60 000 files where there is one.',
    outcome: /^(?:marked|cannot be read)$/,
    earns: 'all',
    what: (student) => zipOf([{ name: 'a.ipynb', content: model(student) }], { count: 60_000 }),
  },
  'encrypted-entry': {
    tells: 'Is a zip with a locked file beside the notebook.',
    outcome: /^(?:marked|cannot be read)$/,
    earns: 'all',
    what: (student) => {
      const content = model(student);
      return zipOf([
        { name: 'locked.ipynb', content, flags: 1 },
        { name: 'open.ipynb', content },
      ]);
    },
  },
  'entries-of-one-name': {
    tells: 'Is a zip with two files of one name, the second with a class-mate’s number.',
    outcome: /^(?:marked|earlier return)$/,
    what: (student) =>
      zipOf([student, '1001'].map((each) => ({ name: 'sheet.ipynb', content: blank(each) }))),
  },
  'entries-under-a-long-name': {
    tells: 'Is a small zip whose one entry has a name of 65 000 letters and holds 12 000 files.',
    outcome: /^(?:not a notebook|cannot be read)$/,
    what: () => {
      const many = Array.from({ length: 12_000 }, (_, i) => [`${i}.txt`, strToU8('x')] as const);
      const inner = zipSync(Object.fromEntries(many), { level: 9 });
      return zipSync({ [`${'n'.repeat(65_000)}.zip`]: inner }, { level: 9 });
    },
  },
  'link-in-zip': {
    tells: 'Is a zip with a link to a file of the machine.',
    outcome: unreadable,
    what: () => zipSync({ 'x.ipynb': [strToU8('/etc/passwd'), { os: 3, attrs: 0o120777 << 16 }] }),
  },
  'path-in-zip': {
    tells: 'Climbs out of its zip by its path.',
    what: (student) => zipSync({ '../../../touched.txt': strToU8(blank(student)) }),
  },
  'old-stamp-in-zip': {
    tells: 'Packs its notebook with a stamp of long before the deadline.',
    remark: /,file,1,/,
    what: (student) =>
      zipSync({ 'a.ipynb': [strToU8(blank(student)), { mtime: new Date(1999, 0, 1) }] }),
  },
  'zip-bomb': {
    tells: 'Is a zip that unpacks to a thousand times its size.',
    outcome: unreadable,
    what: () => {
      const big = new Uint8Array(60 * 2 ** 20);
      return zipSync({ 'a.ipynb': big, 'b.ipynb': big });
    },
  },
  'zip-in-zips': {
    tells: 'Is a zip in a zip in a zip, and so on.',
    outcome: unreadable,
    what: (student) => {
      let zip = zipSync({ 'x.ipynb': strToU8(model(student)) });
      for (let i = 0; i < 9; i++) zip = zipSync({ 'inner.zip': zip });
      return zip;
    },
  },
};

/** All of them are called NAME.zip. */
export const hostileArchives: HostileFiles = Object.fromEntries(
  Object.entries(archives).map(([key, file]) => [key, { ...file, as: (name) => `${name}.zip` }]),
);

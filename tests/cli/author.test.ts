import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { type KindLaidOut, kindsLaidOut } from '../../kernel-lib/cli/new-examples';
import { type Cell, sourceOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';
import { root } from '../../kernel-lib/setup/places.mjs';
import { scratch } from '../scratch';
import { entry, multislit, node } from './multislit';

// A working copy of its own, in which an author writes: program and sheets are copied, packages are shared.
const { at } = scratch('author-');
const own = (args: readonly string[]) => node([at('.build/cli.cjs'), ...args], { cwd: at() });
const build = () => node([at('kernel-lib/setup/build.mjs')], { cwd: at() });
const read = (path: string) => readFileSync(at(path), 'utf8');

beforeAll(() => {
  const parts = [
    'kernel-lib',
    'data',
    '.build/cli.cjs',
    '.build/index.cjs',
    'package.json',
    'package-lock.json',
    'tsconfig.json',
  ];
  for (const part of [...parts, 'worksheets/sample-answers.ts', 'worksheets/02-one-slit'])
    cpSync(join(root, part), at(part), { recursive: true });
  symlinkSync(join(root, 'node_modules'), at('node_modules'), 'junction');
});

const choices: readonly (readonly KindLaidOut[])[] = [
  kindsLaidOut,
  ['number'],
  ['written', 'list'],
  ['sealed', 'function'],
];
const named = choices.map((kinds, i) => ({
  kinds,
  name: `${String(8 + i).padStart(2, '0')}-${kinds[0]}`,
}));
const files = ['sheet.md', 'sheet.ts', 'key.ts'].map(
  (file) => `worksheets/${named[0].name}/${file}`,
);

describe('an author at work', () => {
  test('a sheet is laid out with the kinds asked for, in their order', async () => {
    for (const [i, { name, kinds }] of named.entries()) {
      const words = i === 0 ? [] : ['--questions', kinds.join(',')];
      const { code, out } = await own(['new', name, ...words]);
      expect([code, out]).toEqual([0, expect.stringContaining(`npx multislit prove ${name}`)]);
      const asked = [...read(`worksheets/${name}/sheet.ts`).matchAll(/kind: '(\w+)'/g)];
      expect(asked.map(([, kind]) => kind)).toEqual(kinds);
      const headings = read(`worksheets/${name}/sheet.md`).match(/^### \d+\.\d+/gm);
      expect(headings).toEqual(kinds.map((_, n) => `### ${8 + i}.${n + 1}`));
    }
  });

  test('and holds as it stands; each line to change is found', async () => {
    expect(await build()).toMatchObject({ code: 0, err: '' });
    const proved = await own(['prove', '--students', '3']);
    expect(proved.out).toMatch(/^All holds: 5 sheets/m);
    for (const file of files) {
      const lines = read(file).split('\n');
      const numbers = lines.flatMap((line, i) => (line.includes('YOURS') ? [i + 1] : []));
      expect(numbers.length).toBeGreaterThan(3);
      expect(proved.out).toContain(`${file.split('/').at(-1)} ${numbers.join(', ')}`);
    }
    const again = await own(['new', named[0].name]);
    expect([again.code, again.err]).toEqual([
      1,
      expect.stringMatching(/is there already\. Nothing/),
    ]);
  });

  test('what the author wrote wrongly is told with file and line', async () => {
    const [text, , key] = files;
    const wrong = (path: string, from: string | RegExp, to: string, place: string) => {
      writeFileSync(at(path), read(path).replace(from, to));
      return (
        read(path)
          .split('\n')
          .findIndex((one) => one.includes(place)) + 1
      );
    };
    const heading = wrong(text, /^check\('8\.2'.*$/m, '// nothing', '### 8.2');
    const model = wrong(key, "'8-1-work'", "'8-1-wrk'", "'8-1-wrk'");
    const { code, err } = await node([at('kernel-lib/setup/build.mjs'), '--no-types'], {
      cwd: at(),
    });
    expect(code).toBe(1);
    expect(err).toContain(`${text}, line ${heading}: 8.2 is handed in nowhere`);
    const { out } = await own(['prove', named[0].name, '--students', '1']);
    expect(out).toContain(`key.ts, line ${model}: the model answer 8-1-wrk belongs to no cell`);
  });

  test('a sheet goes out into a notebook that can be changed, and comes back', async () => {
    const [name, draft, text] = [
      '02-one-slit',
      at('draft.ipynb'),
      'worksheets/02-one-slit/sheet.md',
    ];
    expect((await own(['notebook', name, '--to', draft])).code).toBe(0);
    const before = read(text);
    const unchanged = await own(['notebook', name, '--from', draft]);
    expect([unchanged.out, read(text)]).toEqual([
      expect.stringMatching(/^Nothing has changed/),
      before,
    ]);

    const notebook = readNotebook(readFileSync(draft, 'utf8'));
    expect(notebook.cells.some(({ metadata }) => metadata.editable === false)).toBe(false);
    const put = (id: string, change: (source: string) => string): Cell[] =>
      notebook.cells.map((cell) =>
        cell.id === id ? { ...cell, source: change(sourceOf(cell)) } : cell,
      );
    const note: Cell = { cell_type: 'markdown', id: 'mine', metadata: {}, source: 'A note.' };
    const cells = [...put('look', (source) => `${source}\n\nLook twice.`)];
    cells.splice(cells.findIndex(({ id }) => id === '2-1-answer') + 1, 0, note);
    writeFileSync(draft, writeNotebook({ ...notebook, cells }));
    const { out } = await own(['notebook', name, '--from', draft]);
    expect(out.split('\n').slice(0, 2)).toEqual(['changed: look', 'new: 2-1-text-2']);
    expect(read(text)).toBe(
      before
        .replace('\n\n```ts\n// To play with', '\n\nLook twice.\n\n```ts\n// To play with')
        .replace(/(\ncheck\('2\.1'.*\n```\n)/, '$1\nA note.\n'),
    );

    const { default: key } = await import('../../worksheets/02-one-slit/key');
    const answered = put('2-1-work', () => key.model['2-1-work']);
    writeFileSync(draft, writeNotebook({ ...notebook, cells: answered }));
    const told = await own(['notebook', name, '--from', draft]);
    expect([told.code, told.err]).toEqual([1, expect.stringContaining('2-1-work would hand out')]);
    expect(read(text)).toContain('Look twice.');
  });

  test.skipIf(process.platform !== 'linux')(
    'where the disk takes no more, a sentence says so and the file stays as it was',
    () => {
      const draft = at('draft.ipynb');
      const before = readFileSync(draft, 'utf8');
      // More than half of it and less than the whole: the system takes a part without a word.
      const bound = `--fsize=${Math.round(0.6 * before.length)}:`;
      const words = [entry, 'notebook', '03-two-slits', '--to', draft];
      const ended = spawnSync('prlimit', [bound, process.execPath, ...words], { encoding: 'utf8' });
      expect([ended.status, ended.stderr]).toEqual([
        1,
        expect.stringMatching(/draft\.ipynb cannot be written: the disk takes no more of it/),
      ]);
      expect(readFileSync(draft, 'utf8')).toBe(before);
    },
  );

  test.each([
    [['new', 'hair'], /08-a-hair/],
    [['new', '09-x', '--questions', 'number,essay'], /“essay” is no kind .*number, list/],
    [['notebook', '02-one-slit'], /--to FILE makes a notebook, --from FILE/],
    [['notebook', '99-none', '--to', 'x.ipynb'], /no sheet "99-none"\. There are: 01-/],
  ])('%j is refused with what to do', async (words, sentence) => {
    const { code, err } = await multislit(words);
    expect([code, err]).toEqual([expect.any(Number), expect.stringMatching(sentence)]);
    expect(code).not.toBe(0);
    expect(existsSync(join(root, 'worksheets/09-x'))).toBe(false);
  });
});

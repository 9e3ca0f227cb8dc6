import { spawn } from 'node:child_process';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { builtinModules } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { unzipSync } from 'fflate';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { handOutFiles } from '../../kernel-lib/cli/hand-out-files';
import { leaksOf } from '../../kernel-lib/cli/hand-out-leaks';
import { readableTime } from '../../kernel-lib/cli/hand-out-readme';
import { sheetNames } from '../../kernel-lib/kernel/sheets';
import { withSources } from '../../kernel-lib/notebook/answers';
import { codeCells } from '../../kernel-lib/notebook/marks';
import { readNotebook } from '../../kernel-lib/notebook/read';
import { studentNumberOf } from '../../kernel-lib/notebook/student-number';
import { writeNotebook } from '../../kernel-lib/notebook/write';
import { root } from '../../kernel-lib/setup/places.mjs';
import { startServer } from '../start-server';
import { keyOf, masterOf, oneSlit } from './class-for-test';
import { allSecrets, asCode, asWords } from './hand-out-secrets';
import { multislit } from './multislit';

let folder: string;
let zip: Record<string, Uint8Array>;
const at = (...parts: string[]) => join(folder, ...parts);
const textOf = (path: string) => Buffer.from(zip[`class/${path}`]).toString();
const jsonOf = (path: string) => JSON.parse(textOf(path));

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'hand out '));
  const told = ['--course', 'Optics II, Example College', '--deadline', '2026-12-04T23:59+01:00'];
  const { code, err } = await multislit(['hand-out', '--to', at('class'), ...told]);
  expect([code, err]).toEqual([0, '']);
  zip = unzipSync(readFileSync(at('class.zip')));
}, 120_000);
afterAll(() => rmSync(folder, { recursive: true, maxRetries: 5 }));

describe('what a student receives', () => {
  test('folder and zip hold the same files, all in one folder', () => {
    const inFolder = readdirSync(at('class'), { recursive: true, encoding: 'utf8' })
      .filter((path) => statSync(at('class', path)).isFile())
      .map((path) => `class/${path.replaceAll('\\', '/')}`);
    expect(Object.keys(zip).sort()).toEqual(inFolder.sort());
    for (const path of inFolder)
      expect(readFileSync(at(path)).equals(Buffer.from(zip[path])), path).toBe(true);
  });

  test('every sheet is there: its notebook, unanswered, and its own side of the questions', () => {
    const inside = Object.keys(zip).filter((path) => path.startsWith('class/.build/worksheets/'));
    const expected = sheetNames().flatMap((name) =>
      ['sheet.cjs', 'sheet.ipynb'].map((file) => `class/.build/worksheets/${name}/${file}`),
    );
    expect(inside.sort()).toEqual(expected.sort());
    for (const name of sheetNames()) {
      const notebook = readNotebook(textOf(`.build/worksheets/${name}/sheet.ipynb`));
      expect(studentNumberOf(notebook)).toBe('000000');
      expect(codeCells(notebook).every(({ outputs }) => outputs.length === 0)).toBe(true);
      expect(notebook.cells.map(({ id }) => id)).toEqual(masterOf(name).cells.map(({ id }) => id));
    }
  });

  test('no key, no source of one, no test', () => {
    const strange = Object.keys(zip).filter(
      (path) =>
        /\bkey\.\w+$|\.test\.|confined|convert\.cjs/.test(path) ||
        (/\.tsx?$/.test(path) && !path.endsWith('.d.ts')),
    );
    expect(strange).toEqual([]);
  });

  test('nothing of any key stands in any file, the built bundles included', () => {
    const secrets = allSecrets();
    for (const name of sheetNames())
      expect(secrets.filter(({ what }) => what.startsWith(name)).length).toBeGreaterThan(25);
    // One file is another's program, byte for byte; fonts hold no words.
    const plotly = readFileSync(join(root, 'node_modules/plotly.js-dist-min/plotly.min.js'));
    expect(plotly.equals(Buffer.from(zip['class/.build/page/plotly.min.js']))).toBe(true);
    const files = Object.entries(zip)
      .filter(([path]) => !/plotly\.min\.js$|\.(woff2?|ttf)$/.test(path))
      .map(([path, bytes]) => [path, Buffer.from(bytes).toString()] as const);
    const readable = files.map(([path, text]) => [path, asCode(text), asWords(text)] as const);
    const found = secrets.flatMap(({ what, text, isCode }) => {
      const sought = isCode ? asCode(text) : asWords(text);
      return readable
        .filter(([, code, words]) => (isCode ? code : words).includes(sought))
        .map(([path]) => `${path} holds ${what}: ${text}`);
    });
    expect(found).toEqual([]);
  });

  test('the search itself finds what a key holds', () => {
    for (const name of sheetNames()) {
      const built = readFileSync(join(root, '.build/worksheets', name, 'key.cjs'), 'utf8');
      const [code, words] = [asCode(built), asWords(built)];
      const own = allSecrets().filter(({ what }) => what.startsWith(name));
      const seen = own.filter(({ text, isCode }) =>
        isCode ? code.includes(asCode(text)) : words.includes(asWords(text)),
      );
      expect(seen.length).toBeGreaterThan(0.6 * own.length);
    }
  });

  test('whatever the programs open of the build is there; only marking and handing out stay behind', () => {
    const instructors = ['convert.cjs', 'confined.cjs', 'lock.json'];
    const opened = ['cli.cjs', 'kernel.cjs'].flatMap((file) =>
      [...textOf(`.build/${file}`).matchAll(/\bbuilt\d*\("([\w.-]+)"\)/g)].map(([, name]) => name),
    );
    expect(opened).toContain('kernel.cjs');
    for (const name of opened.filter((each) => !instructors.includes(each)))
      expect([name, existsSync(at('class', '.build', name))]).toEqual([name, true]);
  });

  test('sealed questions announce what to hand in and no more', () => {
    for (const name of sheetNames())
      for (const question of keyOf(name).sheet.questions) {
        if (question.kind !== 'sealed' && question.kind !== 'written') continue;
        const fields = ['id', 'kind', 'asks', 'marks', 'answer', 'unit', 'length', 'signature'];
        expect(Object.keys(question).filter((field) => !fields.includes(field))).toEqual([]);
      }
  });

  test('the page comes with what it names and nothing left over from earlier builds', () => {
    const pages = Object.keys(zip)
      .filter((path) => path.startsWith('class/.build/page/'))
      .map((path) => path.slice('class/.build/page/'.length));
    expect(pages).toContain('app.js');
    expect(pages).toContain('app-style.css');
    const named = textOf('.build/page/app.js').match(/[\w-]+-[A-Z0-9]{8}\.js/g) ?? [];
    for (const name of named) expect(pages).toContain(name);
    expect(pages.filter((name) => /^editor-/.test(name))).toHaveLength(1);
  });

  test('a short page for the student: start, where copies lie, when to hand in, caution', () => {
    const page = textOf('README.md');
    expect(page).toMatch(/^# Optics II, Example College\n/);
    expect(page).toMatch(/2026-12-04 23:59 \(\+01:00\)/);
    expect(page).toMatch(/`npm start`/);
    expect(page).toMatch(/folder `multislit` in your home folder/);
    expect(page).toMatch(/safety officer/);
    expect(jsonOf('package.json').multislit).toEqual({
      sheets: sheetNames(),
      course: 'Optics II, Example College',
      deadline: '2026-12-04T23:59+01:00',
    });
  });

  test.each([
    ['2026-12-04', '2026-12-04'],
    ['2026-12-04T23:59', '2026-12-04 23:59'],
    ['2026-12-04T23:59Z', '2026-12-04 23:59 (UTC)'],
    ['2026-12-04T23:59:30+01:00', '2026-12-04 23:59:30 (+01:00)'],
  ])('a time is told as it was given: %s', (given, told) => {
    expect(readableTime(given)).toBe(told);
  });
});

describe('its packages', () => {
  const project = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8')).packages;

  test('are this project’s own, at the same versions', () => {
    const { packages } = jsonOf('package-lock.json');
    const { '': own, ...locked } = packages;
    expect(own.dependencies).toEqual(jsonOf('package.json').dependencies);
    expect(Object.keys(locked).length).toBeGreaterThan(20);
    for (const [path, { version, integrity }] of Object.entries<Record<string, string>>(locked))
      expect([path, version, integrity]).toEqual([
        path,
        project[path].version,
        project[path].integrity,
      ]);
  });

  test('everything that one of them needs is there', () => {
    const { packages } = jsonOf('package-lock.json');
    for (const [path, entry] of Object.entries<{ dependencies?: object }>(packages))
      for (const name of Object.keys(entry.dependencies ?? {})) {
        const above = path.split('/node_modules/').map((_, i, parts) => {
          const before = parts.slice(0, i + 1).join('/node_modules/');
          return `${before === '' ? '' : `${before}/`}node_modules/${name}`;
        });
        const places = [`node_modules/${name}`, ...above];
        expect([path, name, places.some((place) => place in packages)]).toEqual([path, name, true]);
      }
  });

  test('nothing that only building and testing need', () => {
    const names = Object.keys(jsonOf('package-lock.json').packages);
    for (const name of ['esbuild', 'typescript', 'vitest', 'vite', 'playwright-core', 'mathjs'])
      expect(names).not.toContain(`node_modules/${name}`);
  });

  test('all that the bundles load from outside is among them', () => {
    // Real calls of require, not the names that a library writes into code it never runs here.
    const bundled = ['bufferutil', 'utf-8-validate', 'ajv'];
    const { dependencies } = jsonOf('package.json');
    for (const file of ['index.cjs', 'cli.cjs', 'kernel.cjs', 'control-worker.cjs']) {
      const calls = [
        ...textOf(`.build/${file}`).matchAll(
          /\b(?:homeR|r)equire(?:\.resolve)?\d*\("([^".][^"]*)"\)/g,
        ),
      ];
      const names = calls
        .map(([, name]) => /^(@[^/]+\/)?[^/]+/.exec(name)?.[0] ?? name)
        .filter((name) => !name.startsWith('node:') && !builtinModules.includes(name))
        .filter((name) => name !== 'multislit' && !bundled.includes(name));
      for (const name of names)
        expect(Object.keys(dependencies).concat('@tslab/typescript-for-tslab')).toContain(name);
    }
  });
});

/** `npm start`, or the script behind it, until it tells its address and answers there. */
async function served(words: readonly string[], cwd: string) {
  mkdirSync(at('home'), { recursive: true });
  const started = await startServer(words, cwd, { HOME: at('home'), USERPROFILE: at('home') });
  try {
    const { status } = await fetch(started.address, { redirect: 'manual' });
    return { said: started.said, status };
  } finally {
    await started.end();
  }
}

function unpack(name: string): string {
  for (const [path, bytes] of Object.entries(zip)) {
    const file = at(name, path);
    mkdirSync(dirname(file), { recursive: true });
    writeFileSync(file, bytes);
  }
  return at(name, 'class');
}

async function runsOneSlit(home: string): Promise<void> {
  const to = join(dirname(home), 'ran.ipynb');
  const words = ['run', join(home, '.build/worksheets', oneSlit, 'sheet.ipynb'), '--to', to];
  const child = spawn(
    process.execPath,
    [join(home, '.build/cli.cjs'), ...words, '--student', '204117'],
    {
      cwd: dirname(home),
    },
  );
  expect(await new Promise((done) => child.once('exit', done))).toBe(0);
  const cells = codeCells(readNotebook(readFileSync(to, 'utf8')));
  const first = cells.find(({ id }) => id === 'setup');
  expect(JSON.stringify(first?.outputs)).toMatch(/Student 204117/);
  expect(JSON.stringify(first?.outputs)).toMatch(/image\/png/);
}

describe('unpacked elsewhere', () => {
  test('it starts without building and runs a sheet', { timeout: 120_000 }, async () => {
    const home = unpack('at home');
    symlinkSync(join(root, 'node_modules'), join(home, 'node_modules'), 'junction');
    const script = join(home, 'kernel-lib/setup/start.mjs');
    const mine = at('mine');
    const words = [process.execPath, script, mine, '--no-browser', '--port', '0'];
    const { said, status } = await served(words, home);
    expect(said).not.toMatch(/Building|Installing/);
    expect(said).toMatch(/Optics II, Example College. Hand in by 2026-12-04 23:59/);
    expect([200, 302, 303]).toContain(status);
    await runsOneSlit(home);
  });

  const wanted = Boolean(process.env.CI || process.env.MULTISLIT_FRESH);
  if (!wanted) console.warn('Skipped: npm start in a hand-out (MULTISLIT_FRESH=1 runs it)');
  test.skipIf(!wanted)(
    'npm start installs what is missing, then serves and runs a sheet',
    { timeout: 400_000 },
    async () => {
      const home = unpack('fresh');
      const { said, status } = await served(
        ['npm', 'start', '--', '--no-browser', '--port', '0'],
        home,
      );
      expect(said).toMatch(/Installing \d+ packages/);
      expect(said).not.toMatch(/Building/);
      expect([200, 302, 303]).toContain(status);
      expect(existsSync(at('home', 'multislit'))).toBe(true);
      await runsOneSlit(home);
    },
  );
});

describe('what it refuses', () => {
  const present = () => readdirSync(folder).sort();

  test.each([
    [
      'a folder with something in it',
      ['--to', 'class'],
      /class is not empty, and nothing is written over/,
    ],
    [
      'a sheet that is not there',
      ['--to', 'new', '99-nothing'],
      /no sheet "99-nothing"\. There are: .*02-one-slit/,
    ],
    [
      'a place without its folder',
      ['--to', join('none', 'new')],
      /There is no folder .*none to put/,
    ],
    [
      'a name that a file has',
      ['--to', 'class.zip'],
      /class\.zip is a file; a folder was expected/,
    ],
  ])('%s', async (_, words, sentence) => {
    const there = present();
    const { code, out, err } = await multislit(['hand-out', ...words], { cwd: folder });
    expect([code, out]).toEqual([1, '']);
    expect(err).toMatch(sentence);
    expect(present()).toEqual(there);
  });

  test('a deadline that is none: exit code 2', async () => {
    const words = ['hand-out', '--to', at('new'), '--deadline', 'Friday'];
    const { code, err } = await multislit(words);
    expect(code).toBe(2);
    expect(err).toMatch(/a day and time such as 2026-11-20T23:59/);
  });

  test('one sheet goes alone; a zip that is there already stays', async () => {
    mkdirSync(at('empty'));
    const words = ['hand-out', '--to', at('empty'), oneSlit];
    expect((await multislit(words)).code).toBe(0);
    expect(readdirSync(at('empty', '.build', 'worksheets'))).toEqual([oneSlit]);
    const questions = at('empty', '.build', 'types', 'questions');
    expect(readdirSync(join(questions, 'givens'))).toEqual([`${oneSlit}.d.ts`]);
    const givens = readFileSync(join(questions, 'sheet-givens.d.ts'), 'utf8');
    expect(givens.match(/'\d\d-[\w-]+'/g)).toEqual([`'${oneSlit}'`]);
    expect(present().filter((name) => name.startsWith('.'))).toEqual([]);
    rmSync(at('empty'), { recursive: true });
    const { code, err } = await multislit(words);
    expect(code).toBe(1);
    expect(err).toMatch(/empty\.zip is there already/);
    expect(existsSync(at('empty'))).toBe(false);
  });

  test('a model answer left in the notebook, a point of the scheme in the sheet', () => {
    const key = keyOf(oneSlit);
    const files = handOutFiles({ sheets: [oneSlit] });
    expect(leaksOf(key, files)).toEqual([]);
    const [path, code] = ['sheet.ipynb', 'sheet.cjs'].map(
      (file) => `.build/worksheets/${oneSlit}/${file}`,
    );
    const answered = withSources(masterOf(oneSlit), { '2-1-work': key.model['2-1-work'] });
    const point = key.schemes['2.9'][0].point;
    const leaky = new Map(files)
      .set(path, writeNotebook(answered))
      .set(code, `${files.get(code)}\n// ${point}`);
    expect(leaksOf(key, leaky)).toEqual([
      '02-one-slit/sheet.ipynb: cell 2-1-work holds its model answer.',
      `02-one-slit: the sheet holds “${point.slice(0, 60)}” of its key.`,
    ]);
  });
});

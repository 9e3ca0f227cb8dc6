import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { builtinModules } from 'node:module';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { sheetNames } from '../../kernel-lib/kernel/sheets';
import { readableTime } from '../../kernel-lib/marker/hand-out-facts';
import { codeCells, studentNumberOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { root } from '../../kernel-lib/setup/places.mjs';
import { keyOf, originalOf } from './class-for-test';
import { allSecrets, asCode, asWords } from './hand-out-secrets';
import { type HandOut, handOut } from './hand-out-stage';

let made: HandOut;
beforeAll(async () => {
  made = await handOut();
});
afterAll(() => made.remove());

describe('what a student receives', () => {
  test('folder and zip hold the same files, all in one folder', () => {
    const inFolder = readdirSync(made.at('class'), { recursive: true, encoding: 'utf8' })
      .filter((path) => statSync(made.at('class', path)).isFile())
      .map((path) => `class/${path.replaceAll('\\', '/')}`);
    expect(Object.keys(made.zip).sort()).toEqual(inFolder.sort());
    for (const path of inFolder)
      expect(readFileSync(made.at(path)).equals(Buffer.from(made.zip[path])), path).toBe(true);
  });

  test('every sheet is there: its notebook, unanswered, its own cells converted, and its side of the questions', () => {
    const inside = Object.keys(made.zip).filter((path) =>
      path.startsWith('class/.build/worksheets/'),
    );
    const expected = sheetNames().flatMap((name) =>
      ['ahead.json', 'sheet.cjs', 'sheet.ipynb'].map(
        (file) => `class/.build/worksheets/${name}/${file}`,
      ),
    );
    expect(inside.sort()).toEqual(expected.sort());
    for (const name of sheetNames()) {
      const notebook = readNotebook(made.textOf(`.build/worksheets/${name}/sheet.ipynb`));
      expect(studentNumberOf(notebook)).toBe('000000');
      expect(codeCells(notebook).every(({ outputs }) => outputs.length === 0)).toBe(true);
      expect(notebook.cells.map(({ id }) => id)).toEqual(
        originalOf(name).cells.map(({ id }) => id),
      );
    }
  });

  test('no key, no source of one, no test', () => {
    const strange = Object.keys(made.zip).filter(
      (path) =>
        /\bkey\.\w+$|\.test\.|confined|convert\.cjs/.test(path) ||
        (/\.tsx?$/.test(path) && !path.endsWith('.d.ts')),
    );
    expect(strange).toEqual([]);
  });

  test('nothing of any key stands in any file, the built bundles included', () => {
    // Headings of the pages for instructors are no secret: `multislit new` writes the same.
    const secrets = allSecrets().filter(({ text }) => !text.startsWith('## '));
    for (const name of sheetNames())
      expect(secrets.filter(({ what }) => what.startsWith(name)).length).toBeGreaterThan(25);
    // One file is another's program, byte for byte; fonts hold no words.
    const plotly = readFileSync(join(root, 'node_modules/plotly.js-dist-min/plotly.min.js'));
    expect(plotly.equals(Buffer.from(made.zip['class/.build/page/plotly.min.js']))).toBe(true);
    const files = Object.entries(made.zip)
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
    const instructors = ['convert.cjs', 'confined.cjs', 'lock.json', 'marking', 'room', 'web'];
    const opened = ['cli.cjs', 'kernel.cjs'].flatMap((file) =>
      [...made.textOf(`.build/${file}`).matchAll(/\bbuilt\d*\("([\w.-]+)"\)/g)].map(
        ([, name]) => name,
      ),
    );
    expect(opened).toContain('kernel.cjs');
    for (const name of opened.filter((each) => !instructors.includes(each)))
      expect([name, existsSync(made.at('class', '.build', name))]).toEqual([name, true]);
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
    const pages = Object.keys(made.zip)
      .filter((path) => path.startsWith('class/.build/page/'))
      .map((path) => path.slice('class/.build/page/'.length));
    expect(pages).toContain('app.js');
    expect(pages).toContain('app-style.css');
    const named = made.textOf('.build/page/app.js').match(/[\w-]+-[A-Z0-9]{8}\.js/g) ?? [];
    for (const name of named) expect(pages).toContain(name);
    expect(pages.filter((name) => /^editor-/.test(name))).toHaveLength(1);
  });

  test('neither the hand-out nor what a site is made of has the marking page', () => {
    const asks = '/marking/ask';
    const scripts = (folder: string) =>
      readdirSync(folder)
        .filter((name) => /\.(?:js|html)$/.test(name))
        .map((name) => readFileSync(join(folder, name), 'utf8'));
    const [marking, page, site] = ['marking', 'page', 'web'].map((name) =>
      scripts(join(root, '.build', name)),
    );
    expect(marking.filter((script) => script.includes(asks)).length).toBeGreaterThan(0);
    expect(page.length).toBeGreaterThan(5);
    expect([...page, ...site].filter((script) => script.includes(asks))).toEqual([]);
    expect(Object.keys(made.zip).filter((path) => /\.build\/marking|\/key\./.test(path))).toEqual(
      [],
    );
  });

  test('a short page for the student: start, where copies lie, when to hand in, caution', () => {
    const page = made.textOf('README.md');
    expect(page).toMatch(/^# Optics II, Alderbeck College\n/);
    expect(page).toMatch(/2026-12-04 23:59 \(\+01:00\)/);
    expect(page).toMatch(/`npm start`/);
    expect(page).toMatch(/folder `multislit` in your home folder/);
    expect(page).toMatch(/safety officer/);
    expect(made.jsonOf('package.json').multislit).toEqual({
      sheets: sheetNames(),
      course: 'Optics II, Alderbeck College',
      deadline: '2026-12-04T23:59+01:00',
    });
  });

  test.each([
    ['2026-12-04', '2026-12-04'],
    ['2026-12-04T24:00+01:00', 'the end of 2026-12-04 (+01:00)'],
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
    const { packages } = made.jsonOf('package-lock.json');
    const { '': own, ...locked } = packages;
    expect(own.dependencies).toEqual(made.jsonOf('package.json').dependencies);
    expect(Object.keys(locked).length).toBeGreaterThan(20);
    for (const [path, { version, integrity }] of Object.entries<Record<string, string>>(locked))
      expect([path, version, integrity]).toEqual([
        path,
        project[path].version,
        project[path].integrity,
      ]);
  });

  test('everything that one of them needs is there', () => {
    const { packages } = made.jsonOf('package-lock.json');
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
    const names = Object.keys(made.jsonOf('package-lock.json').packages);
    for (const name of ['esbuild', 'typescript', 'vitest', 'vite', 'playwright-core', 'mathjs'])
      expect(names).not.toContain(`node_modules/${name}`);
  });

  test('all that the bundles load from outside is among them', () => {
    // Real calls of require, not the names that a library writes into code it never runs here.
    const bundled = ['bufferutil', 'utf-8-validate', 'ajv'];
    const { dependencies } = made.jsonOf('package.json');
    for (const file of ['index.cjs', 'cli.cjs', 'kernel.cjs', 'control-worker.cjs']) {
      const calls = [
        ...made
          .textOf(`.build/${file}`)
          .matchAll(/\b(?:homeR|r)equire(?:\.resolve)?\d*\("([^".][^"]*)"\)/g),
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

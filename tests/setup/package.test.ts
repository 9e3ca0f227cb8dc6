import { type SpawnSyncReturns, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { decode } from 'fast-png';
import { beforeAll, describe, expect, test } from 'vitest';
import { codeCells } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { root } from '../../kernel-lib/setup/places.mjs';
import { oneSlit } from '../cli/class-for-test';
import { needs } from '../needs';
import { scratch } from '../scratch';
import { startServer } from '../start-server';

// What an instructor installs: the packed project, in an empty folder, with nothing of the working copy near by.

const { at } = scratch('installed-');
let packed: string[];

function inFolder(program: string, args: readonly string[]): SpawnSyncReturns<string> {
  return spawnSync(program, args, {
    cwd: at(),
    encoding: 'utf8',
    shell: process.platform === 'win32',
    timeout: 120_000,
  });
}
function multislit(...args: string[]): string {
  const { status, stdout, stderr } = inFolder('npx', ['--no-install', 'multislit', ...args]);
  // On a busy machine marking tells how far it is.
  expect([status, stderr.replace(/^\d+ of \d+ returns.*\n/gm, '')]).toEqual([0, '']);
  return stdout;
}

beforeAll(() => {
  // The build is up to date when tests run; prepack would only look.
  const pack = spawnSync(
    'npm',
    ['pack', '--ignore-scripts', '--json', '--pack-destination', at()],
    {
      cwd: root,
      encoding: 'utf8',
      shell: process.platform === 'win32',
    },
  );
  expect(pack.status, pack.stderr).toBe(0);
  const [{ filename, files }] = Object.values<Packed>(JSON.parse(pack.stdout));
  packed = files.map(({ path }) => path);
  writeFileSync(at('package.json'), '{ "private": true }\n');
  const args = ['install', '--prefer-offline', '--no-audit', '--no-fund', `./${filename}`];
  const install = inFolder('npm', args);
  expect(install.status, install.stderr).toBe(0);
});

interface Packed {
  readonly filename: string;
  readonly files: readonly { readonly path: string }[];
}

describe('the packed project', () => {
  test('holds the program, the sheets, what to read and all licences; no source, no test', () => {
    const expected = ['LICENSE', 'README.md', 'data/THIRD-PARTY.txt', 'data/SOURCES.md'];
    expect(packed).toEqual(
      expect.arrayContaining([...expected, '.build/page/index.html', '.build/room/index.html']),
    );
    const strange = packed.filter(
      (path) =>
        /^tests\/|\.tsx?$|^\.build\/(coverage|bench|scratch)\//.test(path) &&
        !path.endsWith('.d.ts'),
    );
    expect(strange).toEqual([]);
  });

  test('has every picture and page that its README names', () => {
    const readme = readFileSync(at('node_modules/multislit/README.md'), 'utf8');
    const links = [...readme.matchAll(/\]\(([^)#:]+)(?:#[^)]*)?\)/g)].map(([, path]) => path);
    expect(links.length).toBeGreaterThan(4);
    for (const path of links) expect(packed).toContain(path);
  });

  test('needs few packages of others, and none that only building needs', () => {
    const names = readdirSync(at('node_modules'));
    for (const name of ['tslab', 'zeromq']) expect(names).toContain(name);
    for (const name of ['esbuild', 'typescript', 'vitest', 'mathjs', 'preact'])
      expect(names).not.toContain(name);
  });
});

describe('installed elsewhere', () => {
  test('it tells its commands', () => {
    expect(multislit('--help')).toMatch(/Usage: multislit[\s\S]*hand-out[\s\S]*mark/);
  });

  test('it draws a film strip', () => {
    const args = ['--slits', '3', '--width', '40um', '--spacing', '100um', '--light', 'sunlight'];
    expect(multislit('strip', ...args, '--to', 'strip.png')).toMatch(/^Film strip of 3 slits/);
    const { width, height } = decode(readFileSync(at('strip.png')));
    expect(width).toBeGreaterThan(4 * height);
  });

  test('a file of one’s own imports the library', () => {
    writeFileSync(at('own.mjs'), "import { nm } from 'multislit'; console.log(nm(550) * 1e9);");
    expect(Number(inFolder(process.execPath, ['own.mjs']).stdout)).toBeCloseTo(550, 9);
  });

  test('it runs a sheet, and hands it out', () => {
    const sheet = `node_modules/multislit/.build/worksheets/${oneSlit}/sheet.ipynb`;
    multislit('run', sheet, '--to', 'ran.ipynb', '--student', '204117');
    const cells = codeCells(readNotebook(readFileSync(at('ran.ipynb'), 'utf8')));
    const outputs = JSON.stringify(cells.find(({ id }) => id === 'given')?.outputs);
    expect(outputs).toMatch(/Student 204117/);
    expect(outputs).toMatch(/image\/png/);
    multislit('hand-out', '--to', 'class', oneSlit);
    expect(existsSync(at('class.zip'))).toBe(true);
    expect(existsSync(at('class/data/THIRD-PARTY.txt'))).toBe(true);
  });

  test('it serves the worksheets', async () => {
    const script = at('node_modules/multislit/kernel-lib/setup/multislit.mjs');
    const args = ['open', at('mine'), '--no-browser', '--port', '0'];
    const { said, address, end } = await startServer([process.execPath, script, ...args], at());
    try {
      expect(said).not.toMatch(/Building|Installing/);
      const { status } = await fetch(address, { redirect: 'manual' });
      expect([200, 302, 303]).toContain(status);
    } finally {
      await end();
    }
  });

  test.skipIf(needs('bwrap').skip)('it marks a return, locked down', () => {
    mkdirSync(at('returns'));
    const original = at('node_modules/multislit/.build/worksheets', oneSlit, 'sheet.ipynb');
    const answered = readFileSync(original, 'utf8').replaceAll('000000', '204117');
    writeFileSync(at('returns', `204117-${oneSlit}.ipynb`), answered);
    expect(multislit('mark', 'returns', '--to', 'marks')).toMatch(
      /^1 return marked .*0 not marked; locked down/,
    );
  });
});

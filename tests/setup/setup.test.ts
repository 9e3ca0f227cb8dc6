import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { isStale } from '../../kernel-lib/setup/build.mjs';
import { missingPackages } from '../../kernel-lib/setup/install.mjs';
import { root } from '../../kernel-lib/setup/places.mjs';

const manifest = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));

test('what the lock asks for is installed, so nothing is missing', () => {
  expect(missingPackages()).toEqual([]);
});

test('a source that is touched, comes or goes after the build makes it stale', () => {
  // A copy, for others may look at the real one while this runs.
  const home = mkdtempSync(join(tmpdir(), 'stale-'));
  onTestFinished(() => rmSync(home, { recursive: true }));
  const sources = ['kernel-lib', 'worksheets', 'data', 'package-lock.json', 'tsconfig.json'];
  for (const name of sources) cpSync(join(root, name), join(home, name), { recursive: true });
  expect(isStale(home)).toBe(true);
  mkdirSync(join(home, '.build'));
  writeFileSync(join(home, '.build', 'built.json'), '{}');
  const setTime = (name: string, seconds: number) => {
    const at = new Date(Date.now() + 1000 * seconds);
    utimesSync(join(home, name), at, at);
  };
  setTime('.build/built.json', 10);
  expect(isStale(home)).toBe(false);
  for (const name of [...sources, 'kernel-lib/index.ts', 'worksheets/02-one-slit/sheet.ts']) {
    setTime(name, 20);
    expect([name, isStale(home)]).toEqual([name, true]);
    setTime(name, 0);
    expect(isStale(home)).toBe(false);
  }
  // A file that went gives its folder a new time, the present one.
  const old = (name: string) => setTime(name, -3600);
  for (const name of readdirSync(home, { recursive: true, encoding: 'utf8' })) old(name);
  setTime('.build/built.json', -1800);
  expect(isStale(home)).toBe(false);
  rmSync(join(home, 'data', 'SOURCES.md'));
  expect(isStale(home)).toBe(true);
});

test('versions are exact, so that every machine gets the same', () => {
  const all = { ...manifest.dependencies, ...manifest.devDependencies };
  const loose = Object.entries(all).filter(
    ([, version]) => !/^\d+\.\d+\.\d+$/.test(String(version)),
  );
  expect(loose).toEqual([]);
});

test('npm scripts call node and nothing else, so that they work without a shell', () => {
  const strange = Object.entries<string>(manifest.scripts).filter(
    ([, command]) => !/^(node|biome) [\w./ -]+$/.test(command),
  );
  expect(strange).toEqual([]);
});

test('the lock names no place to fetch from', () => {
  const lock = readFileSync(join(root, 'package-lock.json'), 'utf8');
  expect(lock).not.toMatch(/"resolved"/);
});

test('the changes that users are told begin with this version', () => {
  const changes = readFileSync(join(root, 'worksheets', 'CHANGES.md'), 'utf8');
  expect(/^## ([\d.]+)/m.exec(changes)?.[1]).toBe(manifest.version);
});

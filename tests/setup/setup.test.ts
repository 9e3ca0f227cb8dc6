import { readFileSync, utimesSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { isStale } from '../../kernel-lib/setup/build.mjs';
import { missingPackages } from '../../kernel-lib/setup/install.mjs';
import { root } from '../../kernel-lib/setup/places.mjs';

const manifest = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));

test('what the lock asks for is installed, so nothing is missing', () => {
  expect(missingPackages()).toEqual([]);
});

test('a source touched after the build makes it stale', () => {
  const file = join(root, 'kernel-lib', 'index.ts');
  const before = new Date(Date.now() - 1000);
  expect(isStale()).toBe(false);
  utimesSync(file, new Date(), new Date(Date.now() + 5000));
  try {
    expect(isStale()).toBe(true);
  } finally {
    utimesSync(file, before, new Date(0));
  }
  expect(isStale()).toBe(false);
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

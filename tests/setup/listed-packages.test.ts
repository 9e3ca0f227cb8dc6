import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { builtinModules } from 'node:module';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { root } from '../../kernel-lib/setup/places.mjs';

const manifest = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
const listed = Object.keys({ ...manifest.dependencies, ...manifest.devDependencies });

/** Started by name in a process of its own, or needed by the one named, and so imported nowhere. */
const byName = ['@vitest/coverage-v8'];

/** tslab's own compiler: whichever tslab brings, and no other. */
const broughtBy = { '@tslab/typescript-for-tslab': 'tslab' };

/** What the build makes itself, see kernel-lib/setup/bundles.mjs. */
const made = ['formulas-ahead'];

const files = spawnSync('git', ['ls-files', '-z', 'kernel-lib', 'tests', 'worksheets'], {
  cwd: root,
  encoding: 'utf8',
})
  .stdout.split('\0')
  .filter((name) => /\.(?:[cm]?ts|tsx|mjs|cjs)$/.test(name))
  .map((name) => readFileSync(join(root, name), 'utf8'));

/** Packages that sources name: `a` of 'a/b', `@a/b` of '@a/b/c'. */
const packageOf = (path: string) => /^(?:@[^/]+\/)?[^/]+/.exec(path)?.[0] ?? '';
const imported = new Set(
  files.flatMap((text) =>
    [
      ...text.matchAll(
        /^(?:import\s*|(?:import|export)\b[^;'"]*?\bfrom\s*)['"]([^.'"][^'"\s]*)['"]/gm,
      ),
    ].map(([, path]) => packageOf(path)),
  ),
);

test('what is imported is listed', () => {
  const ours = [...builtinModules, 'multislit', ...made, ...Object.keys(broughtBy)];
  for (const bringer of Object.values(broughtBy)) expect(listed).toContain(bringer);
  const loose = [...imported].filter(
    (name) => !name.startsWith('node:') && !ours.includes(name) && !listed.includes(name),
  );
  expect(imported.size).toBeGreaterThan(20);
  expect(loose).toEqual([]);
});

test('what is listed is used', () => {
  const everything = files.join('\n');
  const unused = listed.filter(
    (name) =>
      !imported.has(name) &&
      !byName.includes(name) &&
      !(name.startsWith('@types/') && (name === '@types/node' || listed.includes(name.slice(7)))) &&
      !everything.includes(`'${name}`),
  );
  expect(unused).toEqual([]);
});

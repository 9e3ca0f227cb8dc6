import { mkdirSync, writeFileSync } from 'node:fs';
import { beforeAll, expect, test } from 'vitest';
import { packageFolders } from '../../kernel-lib/confined/walls';
import { scratch } from '../scratch';

const { at } = scratch('packages-');
beforeAll(() => {
  for (const path of ['work/node_modules/tslab', 'class/node_modules/program/node_modules/a'])
    mkdirSync(at(path), { recursive: true });
  for (const name of ['@types', 'tslab', '.bin']) mkdirSync(at('class/node_modules', name));
  writeFileSync(at('class/node_modules/.package-lock.json'), '{}');
});

test('a working copy has them all in its own folder', () => {
  expect(packageFolders(at('work'))).toEqual([at('work/node_modules')]);
});

test('an installed program has them beside it too, without itself', () => {
  expect(packageFolders(at('class/node_modules/program')).sort()).toEqual([
    at('class/node_modules/@types'),
    at('class/node_modules/program/node_modules'),
    at('class/node_modules/tslab'),
  ]);
});

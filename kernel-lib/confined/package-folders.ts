import { existsSync, readdirSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';

/**
 * Where the packages of the program in `home` lie: in its own node_modules, or beside it where npm installed it.
 * The folder beside it is told package by package, for the program itself, with its keys, is no part of it.
 */
export function packageFolders(home: string): string[] {
  const own = join(home, 'node_modules');
  const beside = dirname(home);
  const neighbours =
    basename(beside) === 'node_modules'
      ? readdirSync(beside).filter((name) => !name.startsWith('.') && name !== basename(home))
      : [];
  return [...(existsSync(own) ? [own] : []), ...neighbours.map((name) => join(beside, name))];
}

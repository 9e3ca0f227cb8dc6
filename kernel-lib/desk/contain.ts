import { lstat, realpath } from 'node:fs/promises';
import { dirname, join, sep } from 'node:path';
import { Problem } from './problem';

/**
 * The real place of a path that a client asked for, inside `root`.
 *
 * @param path relative, with `/` between its parts; '' is the root itself
 * @throws Problem (403) when the path leaves the root, by its text or through a link, or is hidden
 */
export async function contain(root: string, path: string): Promise<string> {
  const parts = path.split('/').filter((part) => part !== '');
  // A backslash or a colon means something else on each system, so neither is let in anywhere.
  const bad = parts.find((part) => part.startsWith('.') || /[\\:\0]/.test(part));
  if (bad !== undefined)
    throw new Problem(
      403,
      `"${path}" is outside of the work folder or hidden: ask for a plain name.`,
    );
  const home = await realpath(root);
  const place = join(home, ...parts);
  const real = await realOf(place);
  if (real !== home && !real.startsWith(home.endsWith(sep) ? home : home + sep))
    throw new Problem(
      403,
      `"${path}" leads out of the work folder: only files inside it are served.`,
    );
  return real;
}

/** Like realpath, but of a file that may not be there yet: then its folder counts. */
async function realOf(place: string): Promise<string> {
  try {
    return await realpath(place);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'ELOOP') throw new Problem(403, 'A link that leads to itself is not followed.');
    if (code !== 'ENOENT') throw error;
    const link = await lstat(place).then(
      (found) => found.isSymbolicLink(),
      () => false,
    );
    if (link) throw new Problem(403, 'A link that leads nowhere is not followed.');
    const folder = dirname(place);
    if (folder === place) throw error;
    return join(await realOf(folder), place.slice(folder.length).replace(/^[\\/]/, ''));
  }
}

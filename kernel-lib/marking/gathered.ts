import { counted } from '../figures/shown';
import type { Refused } from './unpack';

/** A file that is not marked, and why. */
export interface NotMarked {
  readonly path: string;
  readonly reason: Refused['reason'] | 'wrong sheet' | 'unknown student';
  readonly why: string;
  /** How many files this row stands for; one unless given. */
  readonly count?: number;
  /** A student of the class whose number stands in the path, where there is just one. */
  readonly student?: string;
  /** The outermost archive that it lay in. */
  readonly archive?: string;
}

/** So many files of an archive have rows of their own, for each reason; then one row tells how many more there are. */
const ownRows = 20;

/**
 * The rows for files that are not marked. Each file has its own, but of an archive that a student packed with very many
 * of a kind one row says how many more there are; and there is one row for all that systems left behind.
 *
 * @param isOfClass true for an archive with returns of a class: each of its files is somebody's
 */
export function gatheredRows(
  all: readonly NotMarked[],
  isOfClass: (archive: string) => boolean,
): NotMarked[] {
  const rows: NotMarked[] = [];
  const groups = new Map<string, NotMarked[]>();
  for (const one of all) {
    const { reason, archive, student } = one;
    const isLeft = reason === 'left by a system';
    if (!isLeft && (archive === undefined || isOfClass(archive))) {
      rows.push(one);
      continue;
    }
    const key = isLeft ? reason : JSON.stringify([archive, reason, student]);
    const group = groups.get(key);
    if (group) group.push(one);
    else groups.set(key, [one]);
  }
  for (const group of groups.values()) {
    const own = group[0].reason === 'left by a system' ? 1 : ownRows;
    if (group.length <= own) rows.push(...group);
    else rows.push(...group.slice(0, own - 1), together(group.slice(own - 1)));
  }
  return rows;
}

function together(files: readonly NotMarked[]): NotMarked {
  const count = files.reduce((sum, { count: n = 1 }) => sum + n, 0);
  const [first] = files;
  return { ...first, count, why: `This and ${counted(count - 1, 'more such file')}. ${first.why}` };
}

import { counted } from '../figures/shown';
import type { Refused } from './unpack';

/** A file that is not marked, and why. */
export interface NotMarked {
  readonly path: string;
  readonly reason:
    | Refused['reason']
    | 'wrong sheet'
    | 'unknown student'
    | 'beside a notebook'
    | 'left out';
  readonly why: string;
  /** How many files this row stands for; one unless given. */
  readonly count?: number;
  /** A student of the class whose number stands in the path, where there is just one. */
  readonly student?: string;
  /** The outermost archive that it lay in. */
  readonly archive?: string;
}

const withNotebook =
  'Came with a notebook, whose cells may read it; the notebook has a row of its own.';
const besideNotebook =
  'A picture or a table beside a notebook, but not in its folder: its cells cannot read it. The notebook has a row of its own.';

const pictureOrTable = /\.(?:png|jpe?g|gif|heic|webp|csv|tsv)$/i;
const placeOf = (path: string) => path.slice(0, Math.max(0, path.lastIndexOf('/')));

/**
 * The files that are not marked, with pictures and tables told as what they are where they lie beside a notebook of the
 * same student: a sheet may ask for a photograph or a table, so nothing is wrong with them.
 *
 * @param read returns whose student is known
 * @param taken paths of files that a return's cells may read
 */
export function withCompanions(
  all: readonly NotMarked[],
  read: readonly { readonly path: string; readonly student: string }[],
  taken: ReadonlySet<string> = new Set(),
): NotMarked[] {
  const at = new Map<string, Set<string>>();
  for (const { path, student } of read)
    at.set(placeOf(path), (at.get(placeOf(path)) ?? new Set()).add(student));
  /** Students of the notebooks in the folder of a file, else in the next folder around it. */
  const around = (path: string): ReadonlySet<string> => {
    let place = placeOf(path);
    while (place !== '' && !at.has(place)) place = placeOf(place);
    return place === '' && path.includes('/') ? new Set() : (at.get(place) ?? new Set());
  };
  return all.map((one) => {
    if (taken.has(one.path)) return { ...one, reason: 'beside a notebook', why: withNotebook };
    if (one.reason !== 'not a notebook' || !pictureOrTable.test(one.path)) return one;
    const there = around(one.path);
    // Loose among all returns it is nobody's unless it says whose.
    const isBeside =
      one.student === undefined
        ? one.path.includes('/') && there.size === 1
        : there.has(one.student);
    if (!isBeside) return one;
    return { ...one, reason: 'beside a notebook', why: besideNotebook };
  });
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
    const most = group[0].reason === 'left by a system' ? 1 : ownRows;
    if (group.length <= most) rows.push(...group);
    else rows.push(...group.slice(0, most - 1), together(group.slice(most - 1)));
  }
  return rows;
}

function together(files: readonly NotMarked[]): NotMarked {
  const count = files.reduce((sum, { count: n = 1 }) => sum + n, 0);
  const [first] = files;
  return { ...first, count, why: `This and ${counted(count - 1, 'more such file')}. ${first.why}` };
}

import {
  type BesideFile,
  type FileWith,
  foldedName,
  isBesideName,
  withinLimits,
} from '../travels/files-beside';
import { studentsInName } from './found-return';

/** A picture or a table that came back. */
export interface CameAlong extends BesideFile {
  /** Where it lay, as the archive or the disk has it. Only ever a label. */
  readonly path: string;
  /** Of its bytes. */
  readonly digest: string;
  /** Why it is not read, where that is so: too large, too many pixels. */
  readonly problem?: string;
}

/** A return, as far as it matters whose files are whose. */
interface Arrived {
  readonly path: string;
  readonly student: string;
  /** The names of files in its cells. */
  readonly names: readonly string[];
}

interface Companions {
  /** For each return: the files, and what a person should know of them. */
  readonly withReturns: readonly {
    readonly files: readonly FileWith[];
    readonly says: readonly string[];
  }[];
  /** Paths of the files that came with a return. */
  readonly taken: ReadonlySet<string>;
}

const cut = (path: string) => path.lastIndexOf('/') + 1;
const placeOf = (path: string) => path.slice(0, Math.max(0, cut(path) - 1));
const same = (name: string) => name.normalize('NFC');
const longList = (names: readonly string[]) => names.slice(0, 5).join(', ');

/**
 * Which files came with which return: those in the very folder of its notebook, in a zip or on a disk. Where notebooks of
 * several students lie together, or loose among all returns, a file is only whose number its name carries.
 *
 * What packers and systems do to names is settled: letters with marks put together in another way, capital letters
 * changed, a number or more put in front. What cannot be settled is left out and told.
 */
export function companionsOf(files: readonly CameAlong[], returns: readonly Arrived[]): Companions {
  const students = new Map<string, Set<string>>();
  for (const { path, student } of returns)
    students.set(placeOf(path), (students.get(placeOf(path)) ?? new Set()).add(student));
  const there = new Map<string, CameAlong[]>();
  for (const file of files)
    there.set(placeOf(file.path), [...(there.get(placeOf(file.path)) ?? []), file]);
  const taken = new Set<string>();
  const withReturns = returns.map(({ path, student, names }) => {
    const place = placeOf(path);
    const around = students.get(place) ?? new Set();
    const isAlone = around.size === 1 && place !== '';
    const own = (there.get(place) ?? []).filter(({ name }) => {
      const [named, ...others] = studentsInName(name, around);
      return named === undefined ? isAlone : named === student && others.length === 0;
    });
    for (const file of own) taken.add(file.path);
    return settled(own, names);
  });
  return { withReturns, taken };
}

/** The files of one return under the names by which its cells read them. */
function settled(own: readonly CameAlong[], names: readonly string[]) {
  const says: string[] = own.flatMap(({ problem }) => problem ?? []);
  const files = new Map<string, FileWith>();
  const left = new Set<CameAlong>(own.filter(({ problem }) => problem === undefined));
  const take = (name: string, file: CameAlong) => {
    files.set(name, { name, size: file.size, digest: file.digest });
    left.delete(file);
  };
  /** Of several that it could be the one that all are, byte for byte; else none, and that is told. */
  const only = (name: string, found: readonly CameAlong[]): CameAlong | undefined => {
    if (new Set(found.map(({ digest }) => digest)).size <= 1) return found[0];
    says.push(
      `${found.length} files of this return could be ${name} (${longList(found.map((one) => one.name))}) and differ; none of them is read.`,
    );
    for (const one of found) left.delete(one);
    return undefined;
  };
  const usable = [...left];
  for (const name of names.filter(isBesideName)) {
    const exact = usable.filter((one) => same(one.name) === same(name));
    const alike = usable.filter((one) => foldedName(one.name) === foldedName(name));
    const ending = usable.filter((one) =>
      new RegExp(`[\\s_.)-]${escaped(foldedName(name))}$`, 'u').test(foldedName(one.name)),
    );
    const found = [exact, alike, ending].find((list) => list.length > 0) ?? [];
    const file = only(name, found);
    if (!file) continue;
    if (exact.length === 0) says.push(`${file.name} is read as ${name}, as the cells call it.`);
    for (const one of found) left.delete(one);
    take(name, file);
  }
  // What no cell has in quotes may still be read by a name that a cell puts together.
  const groups = new Map<string, CameAlong[]>();
  for (const one of left)
    groups.set(foldedName(one.name), [...(groups.get(foldedName(one.name)) ?? []), one]);
  for (const [, group] of [...groups].sort(([a], [b]) => (a < b ? -1 : 1))) {
    const [{ name }] = group;
    if (!isBesideName(name))
      says.push(`${name} has a name that not every system can have; it is not read.`);
    else {
      const file = only(name, group);
      if (file && !files.has(same(name))) take(same(name), file);
    }
  }
  const { taken, says: over } = withinLimits([...files.values()]);
  return { files: taken, says: over === undefined ? says : [...says, over] };
}

const escaped = (text: string) => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');

import { type Cell, type Notebook, sourceOf, takesWork } from '../notebook/notebook';
import { murmur3 } from '../numerics/random';
import { toUnit } from '../quantity/known-unit';
import { givensFor } from '../questions/draw';
import { type AnyKey, openForms } from '../questions/sheet';
import { type FoundReturn, notebookFrom } from './found-return';

/** Of pictures and long tables nobody types the numbers. */
const mostGiven = 2000;
const roundedTo = [4, 5, 6, 7, 8, 9, 10, 12, 15];

/** Groups of returns of one sheet that are alike beyond what the sheet suggests; their code and their text. */
export function similarReturns(
  key: AnyKey,
  original: Notebook,
  returns: readonly FoundReturn[],
): (SimilarityCluster & { readonly sheet: string })[] {
  const sheet = key.sheet.name;
  const handedOut = new Map(original.cells.map((cell) => [cell.id, cell]));
  const ofSheet = returns.filter((one) => one.sheet === sheet);
  const compared = ofSheet.map(({ student, text }) => ({
    student,
    parts: notebookFrom(text)
      .cells.filter(({ id }) => !handedOut.has(id) || takesWork(handedOut.get(id) as Cell))
      .map(partOf),
    isGiven: givenTo(key, student),
  }));
  return similarityClusters(compared, original.cells.map(partOf)).map((one) => ({ sheet, ...one }));
}

const partOf = (cell: Cell) => ({ text: sourceOf(cell), isCode: cell.cell_type === 'code' });

/** Tells the digits of this student's givens and of right answers, rounded in any way: equal ones are no wonder. */
function givenTo(key: AnyKey, student: string): (digits: string) => boolean {
  let known: Set<string> | undefined;
  return (digits) => {
    known ??= digitsGivenTo(key, student);
    return known.has(digits);
  };
}

function digitsGivenTo(key: AnyKey, student: string): Set<string> {
  const given = givensFor(key.sheet, student);
  const numbers = numbersIn(given);
  for (const line of key.sheet.tells?.(given) ?? [])
    numbers.push(...(line.match(/\d+(?:\.\d+)?/g) ?? []).map(Number));
  for (const form of openForms(key)) {
    if (form.kind !== 'number' && form.kind !== 'list') continue;
    for (const value of [form.expected(given)].flat()) numbers.push(toUnit(value, form.unit));
  }
  const digits = numbers.flatMap((value) =>
    roundedTo.map((count) => digitsOf(Math.abs(value).toExponential(count - 1))),
  );
  return new Set(digits);
}

function numbersIn(given: unknown, found: number[] = []): number[] {
  if (found.length >= mostGiven) return found;
  if (typeof given === 'number') found.push(given);
  else if (Array.isArray(given)) for (const one of given) numbersIn(one, found);
  else if (typeof given === 'object' && given !== null && !ArrayBuffer.isView(given))
    for (const one of Object.values(given)) numbersIn(one, found);
  return found;
}

/** A return as it is compared with others. */
export interface ReturnToCompare {
  readonly student: string;
  /** What the student wrote, cell by cell. */
  readonly parts: readonly { readonly text: string; readonly isCode: boolean }[];
  /** True for the digits of a number that this student was given, or that follow from what was given. */
  readonly isGiven?: (digits: string) => boolean;
}

/** Students whose returns are alike beyond what the sheet suggests. Listed, never punished. */
export interface SimilarityCluster {
  readonly students: readonly string[];
  /** Runs of eight words or signs that at least half of them share and hardly anyone else wrote. */
  readonly passages: number;
  /** Odd numbers that were typed, and own names, of which the same holds. At most twelve each. */
  readonly numbers: readonly string[];
  readonly names: readonly string[];
}

const runLength = 8;
/** Digits from which a typed number is odd: others coincide by themselves. */
const oddDigits = 4;
/** More features than this are thinned out, evenly by their hash. */
const mostFeatures = 8_000_000;
/** How many of the next ones each return in a feature's list is compared with. */
const neighbours = 3;
const mostListed = 12;

const word = /[\p{L}_$][\p{L}\p{N}_$]*|\d+(?:\.\d+)?(?:e[+-]?\d+)?|\S/giu;
const isNumber = (token: string) => /^\d/.test(token);

/** Code without comments; of text only its words, whatever their case. Layout does not count. */
function tokensOf({ text, isCode }: ReturnToCompare['parts'][number]): string[] {
  if (!isCode) return text.toLowerCase().match(/[\p{L}_$][\p{L}\p{N}_$]*|\d+(?:\.\d+)?/gu) ?? [];
  return text.replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, ' ').match(word) ?? [];
}

/** The digits that a number stands for, wherever its point is: those of 0.0420 are 42. */
export const digitsOf = (number: string): string =>
  number
    .replace(/e.*$/i, '')
    .replace('.', '')
    .replace(/^0+|0+$/g, '');

const declared = /\b(?:const|let|var|function)\s+([\p{L}_$][\p{L}\p{N}_$]{2,})/gu;

type Kind = 'passage' | 'number' | 'name';
type Tell = (kind: Kind, high: number, low: number, part: number, text: string) => void;

/** Seeded hashes of words; two of 32 bits each, as one would meet another by chance in a large class. */
function hasher() {
  const known = new Map<string, number>();
  const encoder = new TextEncoder();
  return (text: string): number => {
    const old = known.get(text);
    if (old !== undefined) return old;
    const hash = murmur3(encoder.encode(text), 20_261_127);
    if (known.size < 500_000) known.set(text, hash);
    return hash;
  };
}

/** Every passage, odd number and own name of some cells. Numbers in passages are taken for one another. */
function featuresOf(
  parts: ReturnToCompare['parts'],
  isGiven: (digits: string) => boolean,
  hash: (text: string) => number,
  tell: Tell,
): void {
  for (const [at, part] of parts.entries()) {
    const tokens = tokensOf(part);
    const hashes = tokens.map((token) => hash(isNumber(token) ? '0' : token));
    for (let i = 0; i + runLength <= hashes.length; i++) {
      let [high, low] = [0, 0];
      for (let k = i; k < i + runLength; k++) {
        high = Math.imul(high ^ hashes[k], 0x9e3779b1);
        low = Math.imul(low, 0x85ebca6b) + (hashes[k] ^ (hashes[k] >>> 13));
      }
      high ^= high >>> 15;
      low = Math.imul(low ^ (low >>> 16), 0xc2b2ae35);
      tell('passage', high >>> 0, (low ^ (low >>> 13)) >>> 0, at, '');
    }
    const single = (kind: Kind, text: string) => {
      const one = hash(`${kind} ${text}`);
      tell(kind, one >>> 0, Math.imul(one ^ (one >>> 15), 0x2c1b3c6d) >>> 0, at, text);
    };
    for (const token of tokens) {
      const digits = isNumber(token) ? digitsOf(token) : '';
      if (digits.length >= oddDigits && !isGiven(digits)) single('number', digits);
    }
    if (part.isCode) for (const [, name] of part.text.matchAll(declared)) single('name', name);
  }
}

/** A return's features, by rising hash. */
interface Features {
  readonly hashes: Float64Array;
  /** In which part each stands; above these, what it is instead. */
  readonly places: Uint8Array;
  /** How many returns have it. */
  readonly writers: Uint32Array;
}

/** For a name; for a number of d digits it is `numberPlace + d`. */
const namePlace = 255;
const numberPlace = 200;
function placeOf(kind: Kind, part: number, text: string): number {
  if (kind === 'name') return namePlace;
  return kind === 'number' ? numberPlace + Math.min(text.length, 20) : Math.min(part, 199);
}

/**
 * Groups of returns of one sheet that share much that hardly anyone else wrote.
 *
 * Features are passages of eight words or signs, odd numbers (four digits or more that do not follow from what the
 * student was given) and own names; what stands in the hand-out is none. One that k of n returns have counts
 * ln(n / (k − 1)): the chance that another return has it, too; a name half of that, a number of d digits at most
 * (d − 2) ln 10, as short ones coincide. Of the passages in one cell the rarest counts whole,
 * the others little, since what begins alike goes on alike. Two returns are alike where this adds up to 2 ln n + c ln 2
 * with c cells: then less than one pair of a class would come to it by chance, were cells independent (Chernoff’s
 * bound, as a feature with chance p adds ln 1/p with chance p). Those that are alike with one another, directly or over
 * others, are one group, however many they are.
 *
 * Time grows as n log n: features are sorted by seeded hashes, and each return is compared with the next few in the
 * lists of its rare features.
 *
 * @param handOut text of all cells of the sheet as students get it
 */
export function similarityClusters(
  returns: readonly ReturnToCompare[],
  handOut: ReturnToCompare['parts'],
): SimilarityCluster[] {
  const n = returns.length;
  if (n < 2) return [];
  const hash = hasher();
  const docBits = Math.ceil(Math.log2(n + 1));
  const range = 2 ** (52 - docBits);
  const join = (high: number, low: number) => (high * 2 ** 20 + (low >>> 12)) % range;
  const given = new Set<number>();
  const nothing = () => false;
  featuresOf(handOut, nothing, hash, (_, high, low) => given.add(join(high, low)));

  function gather(one: ReturnToCompare): Map<number, number> {
    const found = new Map<number, number>();
    featuresOf(one.parts, one.isGiven ?? nothing, hash, (kind, high, low, part, text) => {
      const key = join(high, low);
      if (!given.has(key) && !found.has(key)) found.set(key, placeOf(kind, part, text));
    });
    return found;
  }

  const all = returns.map((one): Features => {
    const found = gather(one);
    const hashes = Float64Array.from(found.keys()).sort();
    const places = Uint8Array.from(hashes, (key) => found.get(key) as number);
    return { hashes, places, writers: new Uint32Array(hashes.length) };
  });
  const count = all.reduce((sum, { hashes }) => sum + hashes.length, 0);
  const pairs = candidates(all, n, docBits, Math.max(1, Math.ceil(count / mostFeatures)));
  const groups = joinedBy(n, pairs, (a, b) => areSimilar(all[a], all[b], n));
  return groups
    .map((members) => clusterOf(members, returns, all, hash, join, n))
    .sort(
      (a, b) =>
        b.passages - a.passages ||
        b.students.length - a.students.length ||
        (a.students[0] < b.students[0] ? -1 : 1),
    );
}

/** Rare enough to count. */
const isRare = (writers: number, n: number) => writers >= 2 && writers <= Math.max(2, n / 2);

/** Pairs worth a look, each once; notes on the way how many have each feature. */
function candidates(
  all: readonly Features[],
  n: number,
  docBits: number,
  thinning: number,
): Float64Array {
  const docs = 2 ** docBits;
  const count = all.reduce((sum, { hashes }) => sum + hashes.length, 0);
  const packed = new Float64Array(count);
  let at = 0;
  for (const [doc, { hashes }] of all.entries())
    for (const key of hashes) packed[at++] = key * docs + doc;
  packed.sort();
  const next = new Uint32Array(n);
  const pairs: number[] = [];
  for (let start = 0; start < count; ) {
    const key = Math.floor(packed[start] / docs);
    let end = start + 1;
    while (end < count && Math.floor(packed[end] / docs) === key) end++;
    const writers = end - start;
    for (let i = start; i < end; i++) {
      const doc = packed[i] % docs;
      all[doc].writers[next[doc]++] = writers;
    }
    if (isRare(writers, n) && key % thinning === 0)
      for (let i = start; i < end; i++)
        for (let j = i + 1; j < Math.min(end, i + 1 + neighbours); j++)
          pairs.push((packed[i] % docs) * docs + (packed[j] % docs));
    start = end;
  }
  const sorted = Float64Array.from(pairs).sort();
  return sorted
    .filter((pair, i) => pair !== sorted[i - 1] && pair === sorted[i + 1])
    .map((pair) => Math.floor(pair / docs) * n + (pair % docs));
}

const cellsOf = ({ places }: Features) =>
  new Set(places.filter((place) => place < numberPlace)).size;

/** Whether two returns share more that few others have than would come about by chance. */
function areSimilar(a: Features, b: Features, n: number): boolean {
  const rarest = { a: new Map<number, number>(), b: new Map<number, number>() };
  const raise = (cells: Map<number, number>, place: number, value: number) =>
    cells.set(place, Math.max(cells.get(place) ?? 0, value));
  let more = 0;
  for (const [i, j] of shared(a, b)) {
    if (!isRare(a.writers[i], n)) continue;
    const rarity = Math.log(n / (a.writers[i] - 1));
    const place = a.places[i];
    if (place === namePlace) more += rarity / 2;
    else if (place > numberPlace)
      more += Math.min(rarity, (place - numberPlace - 2) * Math.log(10));
    else {
      raise(rarest.a, place, rarity);
      raise(rarest.b, b.places[j], rarity);
      more += (rarity * rarity) / Math.log(n) / (2 * runLength);
    }
  }
  const sum = (cells: Map<number, number>) => [...cells.values()].reduce((x, y) => x + y, 0);
  const cells = Math.min(cellsOf(a), cellsOf(b));
  return more + Math.min(sum(rarest.a), sum(rarest.b)) >= 2 * Math.log(n) + cells * Math.LN2;
}

/** Where two returns have the same feature. */
function* shared(a: Features, b: Features): Generator<readonly [number, number]> {
  let [i, j] = [0, 0];
  while (i < a.hashes.length && j < b.hashes.length) {
    if (a.hashes[i] === b.hashes[j]) yield [i++, j++];
    else if (a.hashes[i] < b.hashes[j]) i++;
    else j++;
  }
}

/** Groups of two and more among 0 … n − 1, joined by those pairs that are alike. */
function joinedBy(
  n: number,
  pairs: Float64Array,
  isSimilar: (a: number, b: number) => boolean,
): number[][] {
  const parent = Int32Array.from({ length: n }, (_, i) => i);
  const root = (i: number): number => {
    let at = i;
    while (parent[at] !== at) {
      parent[at] = parent[parent[at]];
      at = parent[at];
    }
    return at;
  };
  for (const pair of pairs) {
    const [a, b] = [Math.floor(pair / n), pair % n];
    const [one, other] = [root(a), root(b)];
    if (one !== other && isSimilar(a, b)) parent[Math.max(one, other)] = Math.min(one, other);
  }
  const groups = new Map<number, number[]>();
  for (let i = 0; i < n; i++) {
    const group = groups.get(root(i));
    if (group) group.push(i);
    else groups.set(root(i), [i]);
  }
  return [...groups.values()].filter(({ length }) => length > 1);
}

/** What at least half of a group share; text is looked up again only here. */
function clusterOf(
  members: readonly number[],
  returns: readonly ReturnToCompare[],
  all: readonly Features[],
  hash: (text: string) => number,
  join: (high: number, low: number) => number,
  n: number,
): SimilarityCluster {
  const counts = new Map<number, number>();
  let passages = 0;
  const enough = Math.max(2, members.length / 2);
  for (const doc of members) {
    const { hashes, places, writers } = all[doc];
    for (const [i, key] of hashes.entries()) {
      if (!isRare(writers[i], n)) continue;
      const before = counts.get(key) ?? 0;
      counts.set(key, before + 1);
      if (places[i] < numberPlace && before < enough && before + 1 >= enough) passages += 1;
    }
  }
  const texts = { number: new Set<string>(), name: new Set<string>() };
  for (const doc of members.slice(0, 3))
    featuresOf(
      returns[doc].parts,
      returns[doc].isGiven ?? (() => false),
      hash,
      (kind, high, low, _, text) => {
        if (kind !== 'passage' && (counts.get(join(high, low)) ?? 0) >= enough)
          texts[kind].add(text);
      },
    );
  const listed = (list: ReadonlySet<string>) => [...list].sort().slice(0, mostListed);
  return {
    students: members.map((doc) => returns[doc].student).sort(),
    passages,
    numbers: listed(texts.number),
    names: listed(texts.name),
  };
}

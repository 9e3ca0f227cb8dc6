import { type Notebook, sourceOf } from '../notebook/notebook';
import { type WorkPart, workFor } from './shown-answer';
import { digitsOf } from './similarity';

/** A part of a text, and whether it stands in the other return as well. */
export interface Piece {
  readonly text: string;
  readonly isSame: boolean;
}

/** What two students wrote in the same place; one of the two may have nothing there. */
export interface CellPair {
  readonly question: string;
  readonly isCode: boolean;
  /** A cell that students added themselves. */
  readonly isOwn: boolean;
  readonly one: SideOfPair;
  readonly other: SideOfPair;
}

export interface SideOfPair {
  readonly pieces: readonly Piece[];
  /** Words and signs, and how many of them stand in the other return. */
  readonly words: number;
  readonly same: number;
}

/** Two returns of one sheet beside each other. */
export interface SideBySide {
  readonly sheet: string;
  readonly students: readonly [string, string];
  readonly cells: readonly CellPair[];
}

interface Token {
  readonly text: string;
  readonly from: number;
  readonly to: number;
  isSame: boolean;
}

/** Passages are as long as those by which groups are found. */
const runLength = 8;
/** A short cell is compared as a whole from so many words and signs on. */
const fewest = 4;
const oddDigits = 4;

const signs = /[\p{L}_$][\p{L}\p{N}_$]*|\d+(?:\.\d+)?(?:e[+-]?\d+)?|\S/giu;
const words = /[\p{L}_$][\p{L}\p{N}_$]*|\d+(?:\.\d+)?/giu;
const declared = /\b(?:const|let|var|function)\s+([\p{L}_$][\p{L}\p{N}_$]{2,})/gu;

/** Comments are left out, of text all but words; each token knows where it stands. */
function tokensOf({ is, source }: Pick<WorkPart, 'is' | 'source'>): Token[] {
  const blanks = (found: string) => found.replace(/[^\n]/g, ' ');
  const text = is === 'code' ? source.replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, blanks) : source;
  return [...text.matchAll(is === 'code' ? signs : words)].map((found) => ({
    text: is === 'code' ? found[0] : found[0].toLowerCase(),
    from: found.index,
    to: found.index + found[0].length,
    isSame: false,
  }));
}

function* runsOf(tokens: readonly Token[]): Generator<readonly [at: number, run: string]> {
  for (let i = 0; i + runLength <= tokens.length; i++) {
    const run = tokens.slice(i, i + runLength).map(({ text }) => text);
    yield [i, run.join(' ')];
  }
}

const asOne = (tokens: readonly Token[]) => tokens.map(({ text }) => text).join(' ');
const namesIn = ({ is, source }: WorkPart) =>
  is === 'code' ? [...source.matchAll(declared)].map(([, name]) => name) : [];
const isOdd = (token: string) => /^\d/.test(token) && digitsOf(token).length >= oddDigits;

/**
 * Lay two returns beside each other and mark what is the same in both, wherever it stands: runs of eight words or signs,
 * whole short cells, odd numbers (four digits or more) and names that both gave to something. What the sheet itself says
 * is not marked.
 *
 * @param one, other as they ran, out of the folder of marks
 */
export function sideBySide(
  original: Notebook,
  questions: readonly string[],
  one: Notebook,
  other: Notebook,
): CellPair[] {
  const given = new Set<string>();
  const givenWords = new Set<string>();
  for (const cell of original.cells) {
    const is = cell.cell_type === 'code' ? ('code' as const) : ('text' as const);
    const tokens = tokensOf({ is, source: sourceOf(cell) });
    for (const [, run] of runsOf(tokens)) given.add(run);
    given.add(asOne(tokens));
    for (const { text } of tokens) givenWords.add(text);
  }
  const sides = [one, other].map((notebook) =>
    questions.map((question) =>
      workFor(notebook, question).map((part) => ({ part, tokens: tokensOf(part) })),
    ),
  );
  const all = sides.map((side) => {
    const parts = side.flat();
    return {
      parts,
      runs: new Set(parts.flatMap(({ tokens }) => [...runsOf(tokens)].map(([, run]) => run))),
      wholes: new Set(parts.map(({ tokens }) => asOne(tokens))),
      odd: new Set(parts.flatMap(({ tokens }) => tokens.map(({ text }) => text).filter(isOdd))),
      names: new Set(parts.flatMap(({ part }) => namesIn(part))),
    };
  });
  for (const [n, { parts }] of all.entries()) {
    const theirs = all[1 - n];
    const isTold = (word: string) =>
      !givenWords.has(word) &&
      (theirs.odd.has(word) || (theirs.names.has(word) && all[n].names.has(word)));
    for (const { tokens } of parts) {
      for (const [at, run] of runsOf(tokens))
        if (theirs.runs.has(run) && !given.has(run))
          for (const token of tokens.slice(at, at + runLength)) token.isSame = true;
      const whole = asOne(tokens);
      const isSame = tokens.length >= fewest && theirs.wholes.has(whole) && !given.has(whole);
      for (const token of tokens) if (isSame || isTold(token.text)) token.isSame = true;
    }
  }
  return questions.flatMap((question, q) => {
    const [left, right] = sides.map((side) => side[q]);
    return [false, true].flatMap((isOwn): CellPair[] => {
      const [a, b] = [left, right].map((list) => list.filter(({ part }) => part.isOwn === isOwn));
      return Array.from({ length: Math.max(a.length, b.length) }, (_, i) => ({
        ...{ question, isOwn, isCode: (a[i] ?? b[i]).part.is === 'code' },
        one: sideOf(a[i]),
        other: sideOf(b[i]),
      }));
    });
  });
}

function sideOf(cell: { part: WorkPart; tokens: readonly Token[] } | undefined): SideOfPair {
  if (!cell) return { pieces: [], words: 0, same: 0 };
  const { tokens, part } = cell;
  const pieces: Piece[] = [];
  let at = 0;
  const add = (to: number, isSame: boolean) => {
    if (to > at) pieces.push({ text: part.source.slice(at, to), isSame });
    at = Math.max(at, to);
  };
  for (let i = 0; i < tokens.length; i++) {
    if (!tokens[i].isSame) continue;
    add(tokens[i].from, false);
    while (tokens[i + 1]?.isSame) i += 1;
    add(tokens[i].to, true);
  }
  add(part.source.length, false);
  return { pieces, words: tokens.length, same: tokens.filter(({ isSame }) => isSame).length };
}

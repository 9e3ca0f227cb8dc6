/** Two returns whose answers are alike beyond what the sheet itself suggests. Listed, never punished. */
export interface AlikePair {
  readonly one: string;
  readonly other: string;
  /** Shared unusual passages over all unusual passages of the smaller of the two, 0…1. */
  readonly share: number;
  /** How many unusual passages are shared. */
  readonly passages: number;
}

/** Tokens of code with comments gone; layout does not count. */
function tokens(code: string): string[] {
  const bare = code.replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, ' ');
  return bare.match(/[\p{L}_$][\p{L}\p{N}_$]*|\d+(?:\.\d+)?(?:e[+-]?\d+)?|\S/giu) ?? [];
}

/** All runs of `length` tokens. */
function passages(code: string, length: number): Set<string> {
  const list = tokens(code);
  const runs = new Set<string>();
  for (let i = 0; i + length <= list.length; i++) runs.add(list.slice(i, i + length).join(' '));
  return runs;
}

/**
 * Pairs of returns that share many passages which hardly anyone else has.
 *
 * A passage is a run of tokens. Those of the sheet itself, and those that more than `common` of the class wrote,
 * do not count: equal questions lead honest people to equal lines.
 *
 * @param answers code of the work cells, by student
 * @param original code of the sheet's own work cells
 */
export function alikePairs(
  answers: ReadonlyMap<string, string>,
  original: string,
  { length = 8, common = 0.1, share: least = 0.5, passages: fewest = 12 } = {},
): AlikePair[] {
  const given = passages(original, length);
  const writers = new Map<string, string[]>();
  for (const [student, code] of answers) {
    for (const run of passages(code, length)) {
      if (!given.has(run)) writers.set(run, [...(writers.get(run) ?? []), student]);
    }
  }
  const limit = Math.max(2, common * answers.size);
  const own = new Map<string, number>();
  const shared = new Map<string, number>();
  for (const students of writers.values()) {
    if (students.length > limit) continue;
    for (const [i, one] of students.entries()) {
      own.set(one, (own.get(one) ?? 0) + 1);
      for (const other of students.slice(i + 1)) {
        const pair = `${one} ${other}`;
        shared.set(pair, (shared.get(pair) ?? 0) + 1);
      }
    }
  }
  return [...shared]
    .map(([pair, count]) => {
      const [one, other] = pair.split(' ');
      const smaller = Math.min(own.get(one) ?? 1, own.get(other) ?? 1);
      return { one, other, share: count / smaller, passages: count };
    })
    .filter((pair) => pair.share >= least && pair.passages >= fewest)
    .sort((a, b) => b.passages - a.passages || a.one.localeCompare(b.one));
}

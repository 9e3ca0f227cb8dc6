import { seeded } from '../../../kernel-lib/numerics/random';

/** What became of one sheet of one student, and how often in a hundred. */
const shares = {
  missing: 4,
  'handed in twice': 3,
  'same again': 1.5,
  'number in the name only': 3,
  'named as another': 0.5,
  'cut in half': 0.6,
  empty: 0.3,
  text: 0.4,
  'other JSON': 0.3,
  'another sheet': 0.4,
  'nobody’s': 0.4,
  'a word processor’s file': 0.3,
  'broken, then whole': 0.6,
  'never ends': 0.15,
} as const;

export type Kind = keyof typeof shares | 'ordinary' | 'copied';

/** One sheet of one student. */
export interface Place {
  readonly sheet: string;
  readonly student: string;
  /** Another student of the class: who hands in the same, or whose number stands in the name. */
  readonly other: string;
  readonly kind: Kind;
}

export const numberOf = (index: number): string => String(300_000 + 7 * index);

export const indexOf = (student: string): number => (Number(student) - 300_000) / 7;

function kindOf(sheet: string, student: string): Kind {
  let left = 100 * seeded(`what became of/${sheet}/${student}`).uniform();
  for (const [kind, share] of Object.entries(shares)) {
    left -= share;
    if (left < 0) return kind as Kind;
  }
  return 'ordinary';
}

/** Every place of a class; two neighbours now and then hand in the same work. */
export function planClass(sheets: readonly string[], students: number): Place[] {
  return Array.from({ length: students }, (_, i) => i).flatMap((i) =>
    sheets.map((sheet): Place => {
      const student = numberOf(i);
      const other = numberOf(i % 2 === 0 ? i + 1 : i - 1);
      const hasOther = (i | 1) < students;
      const pair = seeded(`copied/${sheet}/${i >> 1}`).uniform();
      const kind = hasOther && pair < 0.015 ? 'copied' : kindOf(sheet, student);
      const isAlone = !hasOther && kind === 'named as another';
      return { sheet, student, other, kind: isAlone ? 'ordinary' : kind };
    }),
  );
}

/** About `count` places out of all, with every kind among them but the one that takes long, and all sheets. */
export function samplePlaces(all: readonly Place[], count: number): Place[] {
  const at = ({ sheet, student }: Place) => `${sheet} ${student}`;
  const drawn = all
    .filter(({ kind }) => kind !== 'never ends')
    .map((place) => ({ place, luck: seeded(`sample/${at(place)}`).uniform() }))
    .sort((a, b) => a.luck - b.luck)
    .map(({ place }) => place);
  const kinds = new Set(drawn.map(({ kind }) => kind));
  const first = [...kinds].flatMap((kind) => drawn.find((place) => place.kind === kind) ?? []);
  const chosen = new Map<string, Place>();
  for (const place of [...first, ...drawn]) {
    if (chosen.size >= count) break;
    chosen.set(at(place), place);
    if (place.kind !== 'copied') continue;
    const { sheet, student, other } = place;
    chosen.set(at({ ...place, student: other }), {
      ...place,
      student: other,
      other: student,
      sheet,
    });
  }
  return [...chosen.values()];
}

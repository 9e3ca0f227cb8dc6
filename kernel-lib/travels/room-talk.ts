/** Equal parts of the film in which light may be expected. */
export const PARTS = 240;

/** What a step asks for: light painted on an empty film, a number, or one of some words. */
export type Asking =
  | { readonly kind: 'paint' }
  /** What the number counts: nothing but itself, mm on the film, minutes of arc, or times a brightness. */
  | { readonly kind: 'number'; readonly counts: '' | 'mm' | '′' | '×' }
  | { readonly kind: 'word'; readonly words: readonly string[] };

/** How many said what. */
export type Said = readonly (readonly [answer: number | string, people: number])[];

/** What a class expects, without a word about who. */
export interface Gathered {
  readonly people: number;
  /** How bright each part of the film is expected to be, as `packPainted` has it; '' where nobody painted. */
  readonly painted: string;
  readonly said: Said;
}

/** What a room is shown. */
export interface Shown {
  /** Which question this belongs to; '' without one. */
  readonly step: string;
  readonly title: string;
  readonly text: string;
  /** What the step asks for. */
  readonly asks?: Asking;
  /** Direction sine of the places that it asks about. */
  readonly at?: number;
  /** What the bench is set to, as its address has it; left out while the film is covered. */
  readonly bench?: string;
  /** Place of the hairline, m. */
  readonly place: number;
  readonly dark: boolean;
}

/** What the room tells a phone: what is shown, and what was expected once the film lies open. */
export type ToPhone =
  | { readonly shown: Shown; readonly gathered?: Gathered }
  /** An answer to this step has come in. */
  | { readonly taken: string }
  /** Nothing is new, and the line stands. */
  | { readonly beat: 1 };

/** What a phone may say: what it expects of a step. A film as `packPainted` has it, a number, or a word. */
export interface FromPhone {
  readonly step: string;
  readonly expects: string | number;
}

/** What the lecturer's page asks of its desk. */
export type FromLecturer =
  | { readonly open: { readonly at: string } }
  /** Take up again the room that the page had before it was loaded anew. */
  | { readonly again: string }
  | { readonly show: Shown }
  | { readonly end: true };

/** An open room. */
export interface OpenRoom {
  readonly at: string;
  readonly port: number;
  readonly code: string;
}

/** What the desk tells the lecturer's page. Until the film lies open, of the answers only their number. */
export type ToLecturer =
  | { readonly opened: OpenRoom }
  | { readonly refused: string }
  | { readonly people: number; readonly answers: number }
  | { readonly step: string; readonly gathered: Gathered }
  | { readonly ended: true };

/** An address of this machine at which a room can be opened. */
export interface RoomAddress {
  readonly at: string;
  /** The name of the card, as the system has it. */
  readonly name: string;
  /** Whether only this machine reaches it. */
  readonly alone: boolean;
}

/** Longest message of a phone, bytes: a film takes 300. */
export const LONGEST_FROM_PHONE = 512;
/** Longest message of the lecturer's page, bytes. */
export const LONGEST_FROM_LECTURER = 16 * 1024;

/**
 * A painted film in few letters: a hexadecimal digit for each part.
 *
 * @param painted brightness of each of `PARTS` parts, 0 to 1
 * @example packPainted([0, 0.5, 1]) // '08f'
 */
export const packPainted = (painted: readonly number[]): string =>
  painted.map((value) => Math.round(15 * Math.min(1, Math.max(0, value))).toString(16)).join('');

/**
 * The other way round.
 *
 * @example unpackPainted('0f') // [0, 1]
 */
export const unpackPainted = (packed: string): number[] =>
  [...packed].map((digit) => Number.parseInt(digit, 16) / 15);

/**
 * What a phone said, when it is an answer to what is asked.
 *
 * @param text the message as it came
 * @param step the step that is asked for now
 * @returns the answer, or undefined for whatever is none
 * @example readAnswer('{"step":"1","expects":6}', '1', { kind: 'number', counts: '' }) // 6
 */
export function readAnswer(text: string, step: string, asks: Asking): string | number | undefined {
  if (text.length > LONGEST_FROM_PHONE) return undefined;
  let said: Partial<FromPhone> | null;
  try {
    said = JSON.parse(text) as Partial<FromPhone> | null;
  } catch {
    return undefined;
  }
  if (said?.step !== step) return undefined;
  const { expects } = said;
  if (asks.kind === 'number')
    return typeof expects === 'number' && Math.abs(expects) < 1e9 ? expects : undefined;
  if (typeof expects !== 'string') return undefined;
  if (asks.kind === 'word') return asks.words.includes(expects) ? expects : undefined;
  return /^[0-9a-f]{240}$/.test(expects) ? expects : undefined;
}

/**
 * All answers to one question in one: painted films on top of each other, as bright as full where most expect light;
 * of numbers and words how many said each.
 *
 * @param answers as `readAnswer` has them
 * @example gather([1, 2, 1], { kind: 'number', counts: '' }).said // [[1, 2], [2, 1]]
 */
export function gather(answers: readonly (string | number)[], asks: Asking): Gathered {
  if (asks.kind === 'paint') {
    const sum = Array.from({ length: PARTS }, () => 0);
    for (const packed of answers)
      for (const [i, value] of unpackPainted(String(packed)).entries()) sum[i] += value;
    const most = Math.max(...sum);
    const painted = most > 0 ? packPainted(sum.map((value) => value / most)) : '';
    return { people: answers.length, painted, said: [] };
  }
  const counts = new Map<string | number, number>();
  for (const answer of answers) counts.set(answer, (counts.get(answer) ?? 0) + 1);
  return { people: answers.length, painted: '', said: inOrder([...counts], asks) };
}

/** Words in the order in which they are offered, numbers from the lowest up. */
export function inOrder(said: Said, asks: Asking): Said {
  const rank = (answer: string | number) =>
    asks.kind === 'word' ? asks.words.indexOf(String(answer)) : Number(answer);
  return [...said].sort(([one], [other]) => rank(one) - rank(other));
}

const isText = (value: unknown, longest: number): value is string =>
  typeof value === 'string' && value.length <= longest;

/** What is asked, read from plain data; undefined where it is none. */
export function readAsking(data: unknown): Asking | undefined {
  const { kind, counts, words } = (data ?? {}) as Partial<Record<string, unknown>>;
  if (kind === 'paint') return { kind };
  if (kind === 'number' && (counts === '' || counts === 'mm' || counts === '′' || counts === '×'))
    return { kind, counts };
  if (kind !== 'word' || !Array.isArray(words) || words.length < 2 || words.length > 6)
    return undefined;
  const isFine = words.every((word) => isText(word, 40) && word.trim() !== '');
  return isFine && new Set(words).size === words.length ? { kind, words } : undefined;
}

/** What is shown, read from a message of the lecturer's page; nothing else of it travels on. */
export function readShown(data: unknown): Shown | undefined {
  const { step, title, text, asks, at, bench, place, dark } = (data ?? {}) as Partial<
    Record<string, unknown>
  >;
  if (!isText(step, 100) || !isText(title, 200) || !isText(text, 1000)) return undefined;
  if (!Number.isFinite(place) || typeof dark !== 'boolean') return undefined;
  const asking = readAsking(asks);
  // Either it is asked, or it is shown.
  if (bench === undefined ? !asking : !isText(bench, 8000)) return undefined;
  return {
    ...{ step, title, text, place: place as number, dark },
    ...(asking ? { asks: asking } : {}),
    ...(typeof at === 'number' && Math.abs(at) < 1 ? { at } : {}),
    ...(bench === undefined ? {} : { bench: bench as string }),
  };
}

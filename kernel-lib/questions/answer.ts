import { formatNumber } from '../quantity/format-number';
import { isMeasured } from '../quantity/measured';
import { isUnit, type Unit } from '../quantity/unit';

/** NaN and the infinities do not survive JSON as numbers. */
export type PlainNumber = number | 'NaN' | 'Infinity' | '-Infinity';

const nothings = ['undefined', 'null'] as const;
type Nothing = (typeof nothings)[number];

/** An answer as plain JSON: the one form that is judged, at home and by the marker. */
export type PlainAnswer =
  /** Not answered; `nothing` where it is not `blank` but nothing at all. */
  | { readonly is: 'blank'; readonly nothing?: Nothing }
  | { readonly is: 'number'; readonly value: PlainNumber }
  | { readonly is: 'measured'; readonly value: PlainNumber; readonly u: PlainNumber }
  /** `value` in the SI unit `si`; NaN and '' for a kind of quantity that is not known. */
  | {
      readonly is: 'quantity';
      readonly value: PlainNumber;
      readonly si: string;
      readonly text: string;
    }
  | { readonly is: 'text'; readonly text: string }
  | { readonly is: 'list'; readonly items: readonly PlainAnswer[] }
  /** A function, called at the points that were asked for. */
  | { readonly is: 'samples'; readonly values: readonly PlainNumber[] }
  /** A function that could not be sampled, and why. */
  | { readonly is: 'failed'; readonly problem: string }
  /** Anything else: its kind in words. */
  | { readonly is: 'other'; readonly kind: string };

/** Longer lists and texts are no answer to any question. */
export const longestList = 10_000;
export const longestText = 10_000;

export const plainNumber = (value: number): PlainNumber =>
  Number.isFinite(value) ? value : (String(value) as PlainNumber);

/** Where a function answer is to be tried. */
export interface Sampling {
  readonly points: readonly (readonly number[])[];
  readonly signature: string;
}

/**
 * Write an answer down as plain JSON.
 *
 * @param answer whatever a cell handed to `check`
 * @param sampling for a function: where to call it
 * @returns what is judged; never throws for an odd answer
 */
export function plainAnswer(answer: unknown, sampling?: Sampling, depth = 0): PlainAnswer {
  try {
    return written(answer, sampling, depth);
  } catch (error) {
    return { is: 'other', kind: `an object that cannot be read (${sayError(error)})` };
  }
}

function written(answer: unknown, sampling: Sampling | undefined, depth: number): PlainAnswer {
  if (answer === undefined || answer === null)
    return { is: 'blank', nothing: String(answer) as Nothing };
  if (isBlank(answer)) return { is: 'blank' };
  if (typeof answer === 'number') return { is: 'number', value: plainNumber(answer) };
  if (typeof answer === 'string') return { is: 'text', text: answer.slice(0, longestText) };
  if (isUnit(answer)) return writtenQuantity(answer);
  if (isMeasured(answer))
    return { is: 'measured', value: plainNumber(answer.value), u: plainNumber(answer.u) };
  const list = ArrayBuffer.isView(answer) ? Array.from(answer as Float64Array) : answer;
  if (Array.isArray(list) && depth < 2 && list.length <= longestList)
    return { is: 'list', items: Array.from(list, (x) => plainAnswer(x, undefined, depth + 1)) };
  if (typeof answer === 'function' && sampling) return sampled(answer as Sampled, sampling);
  return { is: 'other', kind: kindOf(list) };
}

/** What kind of thing was handed in, for a sentence. */
function kindOf(answer: unknown): string {
  if (typeof answer === 'function') return aFunction;
  if (Array.isArray(answer)) return `a list of ${answer.length}`;
  if (typeof answer === 'boolean') return `the word ${answer}`;
  if (typeof answer === 'bigint') return 'a bigint (a number that ends in n)';
  if (answer instanceof Promise) return 'a promise (put await before it)';
  return typeof answer === 'object' ? 'an object' : `a ${typeof answer}`;
}

const aFunction = 'a function';

/** The same of an answer that was written down. */
export function kindSaid(answer: PlainAnswer): string {
  switch (answer.is) {
    case 'number':
      return 'a number';
    case 'text':
      return 'text in quotes';
    case 'list':
      return `a list of ${answer.items.length}`;
    case 'other':
      return answer.kind;
    case 'measured':
      return 'one value with its uncertainty';
    case 'quantity':
      return 'one value with its unit';
    case 'samples':
    case 'blank':
      return aFunction;
    default:
      return 'an object';
  }
}

/** True for a function, whether or not it was called. */
export const isFunction = (answer: PlainAnswer): boolean => kindSaid(answer) === aFunction;

/** SI units of the kinds of quantity that a message can name. */
export const unitKinds = ['m', 'rad', '1', '1/m', 's', 'K', 'm^2', 'rad/m', '1/s'];

function writtenQuantity(quantity: Unit): PlainAnswer {
  const text = say(quantity, 'This quantity', 60);
  for (const si of [...unitKinds, siOf(quantity)]) {
    const value = numberIn(quantity, si);
    if (value !== undefined) return { is: 'quantity', value: plainNumber(value), si, text };
  }
  return { is: 'quantity', value: 'NaN', si: '', text };
}

/** A typed quantity as a number of an SI unit; undefined when it is of another kind. */
function numberIn(quantity: Unit, si: string): number | undefined {
  // mathjs would read a bare unit as one of it.
  if ((quantity as { value?: unknown }).value === null) return undefined;
  try {
    const value = Number(quantity.toNumber(mathjsName(si)));
    return Number.isNaN(value) ? undefined : value;
  } catch {
    return undefined;
  }
}

/** The text of a unit as mathjs reads it: it has no `1/m`, only `m^-1`. */
function mathjsName(si: string): string {
  if (si === '1') return 'm/m';
  const [over, ...under] = si.split('/');
  if (over !== '1') return si;
  const inverse = (base: string) => {
    const [name, power = '1'] = base.split('^');
    return `${name}^-${power}`;
  };
  return under.map(inverse).join(' ');
}

/** How mathjs orders the exponents of a quantity's base units: length, time, temperature and angle among nine. */
const places = { m: 1, rad: 7, s: 2, K: 4 };

/** The SI unit that a quantity's own exponents tell, written as `siUnit` does; '' where they tell none. */
function siOf(quantity: Unit): string {
  const { dimensions } = quantity as { dimensions?: unknown };
  if (!Array.isArray(dimensions)) return '';
  const bases = Object.entries(places).map(([name, at]) => [name, Number(dimensions[at])] as const);
  const power = (name: string, size: number) => (size === 1 ? name : `${name}^${size}`);
  const over = bases.flatMap(([name, exponent]) => (exponent > 0 ? power(name, exponent) : []));
  const under = bases.flatMap(([name, exponent]) => (exponent < 0 ? power(name, -exponent) : []));
  return [over.join(' ') || '1', ...under].join('/');
}

/** Longest time for one point and for all of them, ms. */
const onePoint = 2000;
const allPoints = 10_000;

type Sampled = (...point: readonly number[]) => unknown;

/** Call a student's function at every point; a sentence instead when it does not give numbers. */
function sampled(f: Sampled, { points, signature }: Sampling): PlainAnswer {
  const failed = (problem: string): PlainAnswer => ({ is: 'failed', problem });
  const takes = points[0]?.length ?? 0;
  if (f.length > takes)
    return failed(
      `A function ${signature} is asked for; yours takes ${f.length} arguments, but it is called with ${takes}.`,
    );
  const values: PlainNumber[] = [];
  const started = Date.now();
  for (const point of points) {
    const before = Date.now();
    let value: unknown;
    try {
      value = f(...point);
    } catch (error) {
      return failed(`At ${saidPoint(point)} your function stops with an error: ${sayError(error)}`);
    }
    const problem = sampleProblem(value, point);
    if (problem) return failed(isUntouched(f, points) ? noAnswerYet : problem);
    values.push(value as number);
    const now = Date.now();
    if (now - before > onePoint || now - started > allPoints)
      return failed(
        `Your function takes too long: ${((now - before) / 1000).toFixed(1)} s at ${saidPoint(point)}. Is there a loop that could be shorter?`,
      );
  }
  return { is: 'samples', values };
}

/** A point in a sentence: "0.5", or "(0.5, 2)" for several arguments. */
export function saidPoint(point: readonly number[]): string {
  const list = point.map((x) => formatNumber(x)).join(', ');
  return point.length === 1 ? list : `(${list})`;
}

/** What is wrong with one returned value, if anything. */
export function sampleProblem(value: unknown, point: readonly number[]): string | undefined {
  if (typeof value === 'number' && Number.isFinite(value)) return undefined;
  const where = `At ${saidPoint(point)} your function returns`;
  if (value === undefined)
    return `${where} nothing. Does it end with return? An arrow function with braces needs one too.`;
  if (value instanceof Promise || typeof (value as { then?: unknown } | null)?.then === 'function')
    return `${where} a promise. Take away async: the value itself is asked for.`;
  if (typeof value === 'number' && Number.isNaN(value))
    return `${where} NaN, "not a number". Look at 0/0, at square roots of negative numbers and at the arcsine of more than 1 there.`;
  if (typeof value === 'number') return `${where} an infinite value. Where does it divide by zero?`;
  return `${where} ${Array.isArray(value) ? 'a list' : `a value of type ${typeof value}`}, not a number.`;
}

const noAnswerYet =
  'There is no answer yet: your function returns NaN everywhere. Put your formula in its place.';

/** True for a function that is still as the sheet hands it out. */
export const isSkeleton = (answer: PlainAnswer): boolean =>
  answer.is === 'failed' && answer.problem === noAnswerYet;

/** True for the skeleton of a function as the sheet hands it out: NaN wherever it is asked. */
function isUntouched(f: Sampled, points: Sampling['points']): boolean {
  try {
    // A formula that gives NaN everywhere is none that is missing.
    return /\bNaN\b/.test(String(f)) && points.every((point) => Number.isNaN(f(...point)));
  } catch {
    return false;
  }
}

const mark = Symbol.for('multislit.blank');

/**
 * Stands for an answer not yet given: `const firstMinimum = blank;`. Computing with it gives NaN and
 * calling it gives NaN, so that the cells around it still run; `check` says that the answer is missing.
 *
 * @example 2 * blank // NaN
 */
// biome-ignore lint/suspicious/noExplicitAny: it must fit wherever an answer will stand
export const blank: any = Object.freeze(
  Object.assign(() => Number.NaN, {
    [mark]: true,
    [Symbol.toPrimitive]: (hint: string) => (hint === 'string' ? 'blank' : Number.NaN),
  }),
);

/** True for `blank`, for nothing at all, and for a list of only such in which at least one is `blank` still. */
export function isBlank(answer: unknown): boolean {
  if (answer === undefined || answer === null) return true;
  if (Array.isArray(answer))
    return answer.every(isBlank) && answer.some((one) => one !== undefined && one !== null);
  if (typeof answer === 'string') return answer.trim() === '';
  return (
    typeof answer === 'function' && (answer as unknown as Record<symbol, unknown>)[mark] === true
  );
}

/** The same of an answer that was written down. */
export function isNoAnswer(answer: PlainAnswer): boolean {
  if (answer.is === 'list') return answer.items.every(isNoAnswer) && !answer.items.every(nothingOf);
  return answer.is === 'blank' || (answer.is === 'text' && answer.text.trim() === '');
}

/** What an answer is that is nothing at all. */
export const nothingOf = (answer: PlainAnswer): Nothing | undefined =>
  answer.is === 'blank' ? answer.nothing : undefined;

/** How it may have come so. */
export const whyNothing =
  'A function with braces gives nothing without return, and a list has nothing behind its last place: places count from 0.';

/** An own property of a thing out of JSON; nothing is ever read from a prototype. */
export function ownProperty(value: unknown, name: string): unknown {
  return typeof value === 'object' && value !== null && Object.hasOwn(value, name)
    ? (value as Record<string, unknown>)[name]
    : undefined;
}

/** Longer texts out of another process are no answer to any question. */
const longestRead = 1000;
const odd: PlainAnswer = { is: 'other', kind: 'something that cannot be read' };

const isNumber = (value: unknown): value is PlainNumber =>
  Number.isFinite(value) || value === 'NaN' || value === 'Infinity' || value === '-Infinity';

/**
 * Read an answer that an untrusted process or a file holds: a fresh one, made of own properties only, so long and so
 * deep as `plainAnswer` writes. Odd forms become an answer that no question takes.
 *
 * @param value parsed JSON
 */
export function readAnswer(value: unknown, depth = 0): PlainAnswer {
  const number = ownProperty(value, 'value');
  const text = (name: string) => {
    const found = ownProperty(value, name);
    return typeof found === 'string' ? found.slice(0, longestRead) : '';
  };
  switch (ownProperty(value, 'is')) {
    case 'blank': {
      const nothing = nothings.find((one) => one === ownProperty(value, 'nothing'));
      return nothing ? { is: 'blank', nothing } : { is: 'blank' };
    }
    case 'number':
      return isNumber(number) ? { is: 'number', value: number } : odd;
    case 'measured': {
      const u = ownProperty(value, 'u');
      return isNumber(number) && isNumber(u) ? { is: 'measured', value: number, u } : odd;
    }
    case 'quantity':
      return isNumber(number)
        ? { is: 'quantity', value: number, si: text('si'), text: text('text') }
        : odd;
    case 'text':
      return { is: 'text', text: text('text') };
    case 'list': {
      const items = ownProperty(value, 'items');
      if (!Array.isArray(items) || items.length > longestList || depth > 1) return odd;
      return { is: 'list', items: items.map((item) => readAnswer(item, depth + 1)) };
    }
    case 'samples': {
      const values = ownProperty(value, 'values');
      return Array.isArray(values) && values.length <= longestList && values.every(isNumber)
        ? { is: 'samples', values }
        : odd;
    }
    case 'failed':
      return { is: 'failed', problem: text('problem') };
    case 'other':
      return { is: 'other', kind: text('kind') };
    default:
      return odd;
  }
}

/** Any value as short text, also one that refuses to become text. */
export function say(value: unknown, otherwise: string, longest = 200): string {
  try {
    const text = String(value).slice(0, longest);
    return text.startsWith('[object') ? otherwise : text;
  } catch {
    return otherwise;
  }
}

/** What an error says, or whatever else was thrown. */
export function sayError(error: unknown): string {
  return say(error instanceof Error ? error.message : error, 'an unknown error');
}

import type { Draw } from './draw';

/** What one student gets: numbers in SI units, arrays, words. */
export type Givens = object;

/** How near a value must come. `relative`: of the expected size; `absolute`: SI; `uncertainties`: within k standard uncertainties of a measured value. */
export type Tolerance =
  | { readonly relative: number }
  | { readonly absolute: number }
  | { readonly uncertainties: number };

/** A typical wrong way, as a formula, so that a wrong value can be recognised and answered with its own hint. */
export interface Slip<Given, Value> {
  readonly name: string;
  /** The wrong value, in the same SI unit as the expected one. */
  readonly value: (given: Given) => Value;
  /** Never gives the answer away. `shown` is the student's own value as text. */
  readonly hint: string | ((given: Given, shown: string) => string);
}

interface Asked {
  /** Such as `2.3`: number of the sheet, number of the question. */
  readonly id: string;
  /** A short title for lists: "First minimum". */
  readonly asks: string;
  readonly marks: number;
}

/** A number with a unit: the student answers in `unit` (or with a typed unit); `expected` is SI. */
export interface NumberQuestion<Given> extends Asked {
  readonly kind: 'number';
  /** `deg`, `arcmin`, `mm`, `um`, `nm`, `1`, `%` … */
  readonly unit: string;
  readonly expected: (given: Given) => number;
  readonly tolerance: Tolerance;
  /** Standard uncertainty that sound work gives, SI. Needed with `{ uncertainties: k }`: the student's own must lie near it, see `uncertaintyWithin`. */
  readonly uncertainty?: (given: Given) => number;
  /** Factor within which the student's own uncertainty must lie of the sound one: 1.2 sees a forgotten √2; 2 if not stated. */
  readonly uncertaintyWithin?: number;
  /** Significant digits that honest rounding keeps, for `prove`; 3 if not stated. */
  readonly digits?: number;
  readonly slips: readonly Slip<Given, number>[];
}

/** Several numbers, in the order that the question states. */
export interface ListQuestion<Given> extends Asked {
  readonly kind: 'list';
  readonly unit: string;
  /** `relative` is taken of each number's own size; of the largest one's where a number is 0. */
  readonly expected: (given: Given) => readonly number[];
  readonly tolerance: Tolerance;
  /** As for one number, in the same order. */
  readonly uncertainty?: (given: Given) => readonly number[];
  /** As for one number. */
  readonly uncertaintyWithin?: number;
  readonly digits?: number;
  readonly slips: readonly Slip<Given, readonly number[]>[];
}

/** A function the student writes, sampled at points that the sheet does not show. SI in, SI out. */
export interface FunctionQuestion<Given> extends Asked {
  readonly kind: 'function';
  /** Such as `(s: number) => number`, told when something else is handed in. */
  readonly signature: string;
  readonly points: (given: Given) => readonly (readonly number[])[];
  readonly expected: (given: Given, ...point: number[]) => number;
  /** `relative` is taken of the largest expected value over the points. */
  readonly tolerance: Tolerance;
  readonly slips: readonly Slip<Given, (...point: number[]) => number>[];
}

/** One word or short phrase out of several that are right. */
export interface WordQuestion<Given> extends Asked {
  readonly kind: 'word';
  readonly accepts: (given: Given) => readonly string[];
  readonly slips: readonly {
    readonly name: string;
    readonly words: readonly string[];
    readonly hint: string;
  }[];
}

/** A question whose expected value stands in the key: recorded in the notebook, marked later. */
export interface SealedQuestion extends Asked {
  readonly kind: 'sealed';
  readonly answer: 'number' | 'list' | 'function' | 'word';
  /** For numbers and lists. */
  readonly unit?: string;
  /** For lists: how many numbers. */
  readonly length?: number;
  /** For functions. */
  readonly signature?: string;
}

/** A short text, marked by a person with the mark scheme in the key. */
export interface WrittenQuestion extends Asked {
  readonly kind: 'written';
}

/** What is checked at once. */
export type OpenQuestion<Given> =
  | NumberQuestion<Given>
  | ListQuestion<Given>
  | FunctionQuestion<Given>
  | WordQuestion<Given>;

/** One thing asked, of any kind. */
export type Question<Given> = OpenQuestion<Given> | SealedQuestion | WrittenQuestion;

/** A sheet as the student's side knows it: worksheets/NAME/sheet.ts exports one as its default. */
export interface Sheet<Given extends Givens = Givens> {
  /** The folder's name, such as `02-one-slit`. */
  readonly name: string;
  readonly title: string;
  readonly givens: (draw: Draw) => Given;
  /** What `begin` tells the student of the givens, a line each: "Slit width 40 µm". */
  readonly tells?: (given: Given) => readonly string[];
  readonly questions: readonly Question<Given>[];
}

/**
 * An error carried forward: what is right for a student who goes on from a wrong answer to an earlier question. For
 * questions that ask for one number or a list.
 */
export interface Carried<Given> {
  /** The earlier question, such as `'2.7'`. */
  readonly follows: string;
  /** What follows from the student's own answer to it (one number, or all of a list), SI in, SI out. */
  readonly value: (given: Given, earlier: readonly number[]) => number | readonly number[];
  /** What that earns: a whole number, up to the marks of the question. */
  readonly marks: number;
}

/** What must never reach a student: worksheets/NAME/key.ts exports one as its default. */
export interface Key<Given extends Givens = Givens> {
  readonly sheet: Sheet<Given>;
  /** Each sealed question's open form. */
  readonly sealed: Readonly<Record<string, OpenQuestion<Given>>>;
  /** Errors carried forward, by the question that works on from an earlier one. The marker looks for them. */
  readonly carried?: Readonly<Record<string, Carried<Given>>>;
  /** Model answers: source of the cell, by cell id. A markdown cell's text serves written questions. */
  readonly model: Readonly<Record<string, string>>;
  /** Mark scheme of each written question: points and what earns them. */
  readonly schemes: Readonly<
    Record<string, readonly { readonly marks: number; readonly point: string }[]>
  >;
  /** The instructor's page, Markdown. */
  readonly instructor: string;
}

/** A sheet whose givens are not known here. */
// biome-ignore lint/suspicious/noExplicitAny: givens are used contravariantly, so unknown would fit no sheet
export type AnySheet = Sheet<any>;
/** A key whose givens are not known here. */
// biome-ignore lint/suspicious/noExplicitAny: as above
export type AnyKey = Key<any>;
/** An error carried forward, of a sheet whose givens are not known here. */
// biome-ignore lint/suspicious/noExplicitAny: as above
export type AnyCarried = Carried<any>;
/** A question whose givens are not known here. */
// biome-ignore lint/suspicious/noExplicitAny: as above
export type AnyQuestion = Question<any>;
/** A question that is checked at once, whose givens are not known here. */
// biome-ignore lint/suspicious/noExplicitAny: as above
export type AnyOpenQuestion = OpenQuestion<any>;

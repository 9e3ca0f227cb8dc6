import type { Draw } from './draw';
import type { FunctionQuestion } from './kinds/function';
import type { Announced, Asked } from './kinds/kind';
import type { ListQuestion } from './kinds/list';
import type { NumberQuestion } from './kinds/number';
import type { WordQuestion } from './kinds/word';

/** What one student gets: numbers in SI units, arrays, words. */
export type Givens = object;

/** A question whose expected value stands in the key: recorded in the notebook, marked later. */
export interface SealedQuestion extends Announced {
  readonly kind: 'sealed';
  readonly answer: AnyOpenQuestion['kind'];
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
  /** Mark scheme of each written question: what earns which marks, and whether half of it can be met. */
  readonly schemes: Readonly<
    Record<
      string,
      readonly { readonly marks: number; readonly point: string; readonly half?: true }[]
    >
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

/** The questions of a sheet that can be judged by value, in order: open ones as they are, sealed ones as the key opens them. */
export function openForms(key: AnyKey): AnyOpenQuestion[] {
  return key.sheet.questions.flatMap((question) => {
    if (question.kind === 'written') return [];
    return [question.kind === 'sealed' ? key.sealed[question.id] : question];
  });
}

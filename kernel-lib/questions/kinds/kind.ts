import type { PlainAnswer, Sampling } from '../answer';

/** What every question has. */
export interface Asked {
  /** Such as `2.3`: number of the sheet, number of the question. */
  readonly id: string;
  /** A short title for lists: "First minimum". */
  readonly asks: string;
  readonly marks: number;
}

/** What the student's side of a sealed question says of its answer. */
export interface Announced extends Asked {
  /** For numbers and lists. */
  readonly unit?: string;
  /** For lists: how many numbers. */
  readonly length?: number;
  /** For functions. */
  readonly signature?: string;
}

/** `agrees`: right. `not yet`: ask again as often as you like. `recorded`: marked later. `open`: nothing was handed in. */
export type State = 'agrees' | 'not yet' | 'recorded' | 'open';

/** What a judgement finds: all of a verdict that does not follow from the question. */
export interface Finding {
  readonly state: State;
  readonly message: string;
  readonly shown?: string;
  readonly slip?: string;
}

export const notYet = (message: string, more: Partial<Finding> = {}): Finding => ({
  state: 'not yet',
  message,
  ...more,
});

/** What is wrong with an answer, as a sentence for the student. */
export interface Problem {
  readonly problem: string;
}

export const isProblem = (read: object): read is Problem => 'problem' in read;

/** A question with every formula worked out for one student, so that judging it many times costs little. */
export interface Worked<Asks> {
  readonly question: Asks;
  /** What the model would hand in, SI; for a function its values at the points. */
  readonly expected: readonly number[];
  /** Each slip's wrong value in the same form; NaN where it does not exist for these givens. */
  readonly slips: readonly { readonly name: string; readonly value: readonly number[] }[];
}

/** Tells a sheet's author what is wrong with a question. */
export type Refuse = (what: string) => never;

/** A kind of question: how answers to it are read and judged, its rules for authors, and how it is proved. */
export interface Kind<Asks> {
  /** Where answers must be called before they can be written down as plain JSON. */
  sampling?(question: Asks, given: object): Sampling;
  judge(question: Asks, given: object, answer: PlainAnswer): Finding;
  /** Read an answer of which the expected value is not at hand: what it shows, or what is wrong with its shape. */
  read(announced: Announced, answer: PlainAnswer): { readonly shown: string } | Problem;
  /** Everything about a question that can be seen without drawing givens. */
  check(question: Asks, refuse: Refuse): void;
  /** The same of the student's side of a sealed one. */
  checkAnnounced?(announced: Announced, refuse: Refuse): void;

  /** For `prove`, where expected values and slips are formulas of numbers: both worked out. */
  worked?(question: Asks, given: object): Worked<Asks>;
  /** SI values as a student would hand them in; stated uncertainties are taken times `share`. */
  plain?(question: Asks, given: object, values: readonly number[], share?: number): PlainAnswer;
  /** Values rounded to the digits that the sheet asks for; undefined where nothing says how to round. */
  rounded?(question: Asks, values: readonly number[]): readonly number[] | undefined;
  /** What else is not as it should be with a question, a phrase each. */
  prove?(
    question: Asks,
    given: object,
    expected: readonly number[],
    judged: (answer: PlainAnswer) => Finding,
  ): Iterable<string>;
}

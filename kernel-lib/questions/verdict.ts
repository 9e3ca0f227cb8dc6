/** `agrees`: right. `not yet`: ask again as often as you like. `recorded`: marked later. */
export type State = 'agrees' | 'not yet' | 'recorded';

/** What is said about one answer. Plain data: it travels as JSON. */
export interface Verdict {
  readonly question: string;
  /** The question's short title. */
  readonly asks: string;
  readonly state: State;
  /** Marks earned; 0 for a recorded answer until it is marked. */
  readonly marks: number;
  readonly outOf: number;
  /** One or two sentences for the student. */
  readonly message: string;
  /** What was read, in the stated unit. */
  readonly shown?: string;
  /** The name of the slip that was recognised. */
  readonly slip?: string;
}

interface Asked {
  readonly id: string;
  readonly asks: string;
  readonly marks: number;
}

/** What the parts of a judgement hand up: all that does not follow from the question. */
export interface Finding {
  readonly state: State;
  readonly message: string;
  readonly shown?: string;
  readonly slip?: string;
}

export function verdictOf(question: Asked, finding: Finding): Verdict {
  const { id, asks, marks } = question;
  return {
    question: id,
    asks,
    state: finding.state,
    marks: finding.state === 'agrees' ? marks : 0,
    outOf: marks,
    message: finding.message,
    ...(finding.shown === undefined ? {} : { shown: finding.shown }),
    ...(finding.slip === undefined ? {} : { slip: finding.slip }),
  };
}

export const notYet = (message: string, more: Partial<Finding> = {}): Finding => ({
  state: 'not yet',
  message,
  ...more,
});

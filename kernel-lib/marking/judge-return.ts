import type { PlainAnswer, Sampling } from '../questions/answer';
import { sayError } from '../questions/answer';
import { type CarriedFinding, judgeCarried } from '../questions/carried';
import { judgePlain, samplingOf } from '../questions/judge';
import type { AnyKey } from '../questions/sheet';
import { openForms } from '../questions/sheet';

/** What one question earned. Plain data. */
export interface QuestionMark {
  readonly question: string;
  readonly asks: string;
  readonly state: 'agrees' | 'not yet' | 'to be read';
  readonly marks: number;
  readonly outOf: number;
  /** The reason, for the student; the hint where a slip was recognised. */
  readonly message: string;
  readonly shown?: string;
  readonly slip?: string;
  /** The earlier question, where the answer is right for the student's own, wrong answer to that one. */
  readonly follows?: string;
  /**
   * Why there is no answer to judge: an error in its cell, stopped (for its time or its memory), the cell deleted, its
   * name changed. With the cells of the question that failed.
   */
  readonly fault?: {
    readonly is: 'error' | 'stopped' | 'deleted' | 'renamed';
    readonly cells: readonly string[];
  };
  /** A person has read it and gave the marks. */
  readonly isRead?: true;
  /** What the person who read a written answer says to the student. */
  readonly remark?: string;
  /** Where a person set the mark: what it was before, null where nothing was given yet; and why. */
  readonly changed?: { readonly from: number | null; readonly reason: string };
}

const missing: PlainAnswer = { is: 'blank' };

const ofCarried = ({ marks, shown, message, follows }: CarriedFinding, outOf: number) => ({
  state: marks === outOf ? ('agrees' as const) : ('not yet' as const),
  marks,
  message,
  shown,
  follows,
});

const asSampling = (sampling: Sampling | undefined) => (sampling ? { sampling } : {});

/** Where a student's functions are to be called; nothing for other questions. */
export function samplings(key: AnyKey, given: object) {
  return openForms(key).map((question) => ({
    id: question.id,
    ...asSampling(samplingOf(question, given)),
  }));
}

/** Judge what a run handed in, with the key. Written questions wait for a person. */
export function judgeReturn(
  key: AnyKey,
  given: object,
  answers: ReadonlyMap<string, PlainAnswer>,
): QuestionMark[] {
  const forms = new Map(openForms(key).map((form) => [form.id, form]));
  return key.sheet.questions.map(({ id, asks, marks: outOf }): QuestionMark => {
    const asked = { question: id, asks, outOf };
    const form = forms.get(id);
    if (!form)
      return {
        ...asked,
        state: 'to be read',
        marks: 0,
        message: 'A person reads and marks this one.',
      };
    try {
      const { state, marks, message, shown, slip } = judgePlain(
        form,
        given,
        answers.get(id) ?? missing,
      );
      const carried = state === 'agrees' ? undefined : judgeCarried(key, id, given, answers);
      if (carried) return { ...asked, ...ofCarried(carried, outOf) };
      return {
        ...asked,
        state: state === 'agrees' ? 'agrees' : 'not yet',
        marks,
        message,
        ...(shown === undefined ? {} : { shown }),
        ...(slip === undefined ? {} : { slip }),
      };
    } catch (error) {
      const message = `This answer could not be judged: ${sayError(error)}`;
      return { ...asked, state: 'not yet', marks: 0, message };
    }
  });
}

import type { MimeBundle } from '../display/bundle';
import { emit } from '../display/display';
import { judge } from './judge';
import { type Work, workNow } from './progress';
import { sayError } from './say';
import type { Question } from './sheet';
import { sheetState } from './sheet-state';
import { noticeBundle, verdictBundle } from './verdict-bundle';

/**
 * Check the answer to a question and show the verdict. The last answer counts; asking again never
 * costs a mark.
 *
 * @param id the question's number, such as `'2.1'`
 * @param answer in the unit that the question states, or with its unit: `unit('0.32 deg')`
 * @returns nothing: the verdict is shown
 * @example
 * begin('02-one-slit', '204117');
 * check('2.5', 80);
 * standing().questions[4].state // 'recorded'
 */
export function check(id: string, answer?: unknown, ...more: unknown[]): void {
  const asked = String(id);
  const work = workNow();
  const question = work?.sheet.questions.find((one) => one.id === asked);
  if (!work || !question || more.length > 0) {
    emit(() => noticeBundle(complaint(work, asked, question !== undefined, more.length)));
    return;
  }
  work.answers.set(asked, answer);
  // Where nobody looks, whoever had the sheet run judges the answers himself.
  emit(() => judged(work, question, answer));
}

function complaint(work: Work | undefined, id: string, known: boolean, superfluous: number) {
  if (!work) return 'Run the cells at the top of the sheet first, then this one again.';
  const { title, questions } = work.sheet;
  if (!known) {
    const ids = questions.map((one) => one.id).join(', ');
    return `“${title}” has no question ${id.slice(0, 20)}. It has ${ids}.`;
  }
  return `check('${id}', …) takes one answer; ${superfluous + 1} were handed in. Decimals are written with a point, as in 0.32; several numbers stand in brackets, as in [1.2, 3.4].`;
}

function judged(work: Work, question: Question<object>, answer: unknown): MimeBundle {
  const { sheet, given, verdicts } = work;
  try {
    const verdict = judge(question, given, answer);
    verdicts.set(question.id, verdict);
    return verdictBundle(verdict, sheetState(sheet, verdicts));
  } catch (error) {
    const why = sayError(error).replace(/(?<![.!?])$/, '.');
    return noticeBundle(
      `Question ${question.id} could not be checked: ${why} Tell your instructor.`,
    );
  }
}

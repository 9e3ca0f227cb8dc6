import type { MimeBundle } from '../display/bundle';
import { emit } from '../display/port';
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
 * progress().questions[4].state // 'recorded'
 */
export function check(id: string, answer?: unknown, ...more: unknown[]): void {
  emit(checked(workNow(), String(id), answer, more.length));
}

function checked(
  work: Work | undefined,
  id: string,
  answer: unknown,
  superfluous: number,
): MimeBundle {
  if (!work)
    return noticeBundle('Run the set-up cell at the top of the sheet first, then this one again.');
  const { sheet, given, answers, verdicts } = work;
  const question: Question<object> | undefined = sheet.questions.find((one) => one.id === id);
  if (!question) {
    const ids = sheet.questions.map((one) => one.id).join(', ');
    return noticeBundle(`“${sheet.title}” has no question ${id.slice(0, 20)}. It has ${ids}.`);
  }
  if (superfluous > 0)
    return noticeBundle(
      `check('${id}', …) takes one answer; ${superfluous + 1} were handed in. Decimals are written with a point, as in 0.32; several numbers stand in brackets, as in [1.2, 3.4].`,
    );
  try {
    const verdict = judge(question, given, answer);
    answers.set(id, answer);
    verdicts.set(id, verdict);
    return verdictBundle(verdict, sheetState(sheet, verdicts));
  } catch (error) {
    return noticeBundle(
      `Question ${id} could not be checked: ${sayError(error)} Tell your instructor.`,
    );
  }
}

import {
  type AnyQuestion,
  type AnySheet,
  formatQuantity,
  givensFor,
  type Key,
  type OpenQuestion,
} from 'multislit';

/** The number that stands in every sheet as it is handed out. */
export const sampleStudent = '000000';

function answer(question: AnyQuestion, given: object): string {
  const digits = Math.max(4, ('digits' in question && question.digits) || 0);
  switch (question.kind) {
    case 'number':
      return formatQuantity(question.expected(given), question.unit, digits);
    case 'list':
      return question
        .expected(given)
        .map((value) => formatQuantity(value, question.unit, digits))
        .join(', ');
    case 'word':
      return question.accepts(given).join(' or ');
    case 'function':
      return 'a function: see the model answer';
    default:
      return 'text: see the mark scheme';
  }
}

/** The sample student's answers as a Markdown table, for the instructor's page. */
export function sampleAnswers<Given extends object>(
  sheet: Key<Given>['sheet'],
  sealed: Readonly<Record<string, OpenQuestion<Given>>>,
): string {
  const { tells, questions } = sheet as unknown as AnySheet;
  const given = givensFor(sheet as unknown as AnySheet, sampleStudent);
  const rows = questions.map((question) => {
    const open = (sealed[question.id] ?? question) as unknown as AnyQuestion;
    const note = question.kind === 'sealed' ? ' (sealed)' : '';
    return `| ${question.id}${note} | ${question.asks} | ${answer(open, given)} | ${question.marks} |`;
  });
  return [
    `Student ${sampleStudent}:`,
    '',
    ...(tells?.(given) ?? []).map((line) => `- ${line}`),
    '',
    '| | question | answer | marks |',
    '|---|---|---|---|',
    ...rows,
  ].join('\n');
}

import { joinLines, type Notebook, type Output, sourceOf, tagOf } from '../notebook/notebook';
import { formatQuantity } from '../quantity/known-unit';
import { isWhole, shownTolerance, type Tolerance } from '../questions/kinds/tolerance';
import { type AnyKey, type AnyOpenQuestion, openForms } from '../questions/sheet';
import type { QuestionMark } from './judge-return';

/** A part of what a student did for one question, as it ran. Texts of students, and as such nobody's to trust. */
export interface WorkPart {
  readonly is: 'code' | 'text';
  /** A cell that the student added. */
  readonly isOwn: boolean;
  readonly source: string;
  readonly outputs: readonly ShownOutput[];
}

export type ShownOutput =
  | { readonly is: 'text' | 'error'; readonly text: string }
  /** Base64. */
  | { readonly is: 'picture'; readonly png: string; readonly text: string };

/** One answer of one student, with all that is needed to judge it anew. Plain data: it travels to the page. */
export interface ShownAnswer {
  readonly student: string;
  readonly sheet: string;
  readonly mark: QuestionMark;
  /** As it ran; undefined where the notebook is not there. */
  readonly work?: readonly WorkPart[];
  /** What was expected of this very student, where that can be said in a line. */
  readonly expected?: string;
  /** Of a written question: what its mark scheme gives marks for. */
  readonly scheme?: readonly { readonly marks: number; readonly point: string }[];
}

/**
 * What a student did for a question: the question's own cells, and those that the student put under it.
 *
 * @param ran the notebook as it ran, out of the folder of marks
 */
export function workFor(ran: Notebook, question: string): WorkPart[] {
  let at: string | undefined;
  return ran.cells.flatMap((cell): WorkPart[] => {
    const tag = tagOf(cell);
    at = tag ? tag.question : at;
    const isOwn = tag === undefined;
    // What the marker says of a written answer stands in a cell of its own.
    if (at !== question || cell.id === 'as-marked' || cell.id.endsWith('-verdict')) return [];
    if (!isOwn && tag.role !== 'work' && tag.role !== 'written' && tag.role !== 'answer') return [];
    const isAnswer = tag?.role === 'answer';
    const outputs = cell.cell_type === 'code' ? cell.outputs.flatMap(shownOutput) : [];
    // Under the line that hands in stand verdicts, which are told beside; an error there is the student's.
    const kept = isAnswer ? outputs.filter(({ is }) => is === 'error') : outputs;
    if (isAnswer && kept.length === 0) return [];
    const is = cell.cell_type === 'code' ? 'code' : 'text';
    return [{ is, isOwn, source: sourceOf(cell), outputs: kept }];
  });
}

function shownOutput(output: Output): ShownOutput[] {
  if (output.output_type === 'stream') return [{ is: 'text', text: joinLines(output.text) }];
  if (output.output_type === 'error')
    return [{ is: 'error', text: `${output.ename}: ${output.evalue}` }];
  const { 'image/png': png, 'text/plain': plain } = output.data ?? {};
  const text = typeof plain === 'string' || Array.isArray(plain) ? joinLines(plain) : '';
  const picture = typeof png === 'string' || Array.isArray(png) ? joinLines(png) : '';
  if (/^[A-Za-z0-9+/=\s]+$/.test(picture)) return [{ is: 'picture', png: picture, text }];
  return text === '' ? [] : [{ is: 'text', text }];
}

/** What a question expects of one student, said as its verdict would say it; undefined for functions and texts. */
export function expectedSaid(key: AnyKey, question: string, given: object): string | undefined {
  const form = openForms(key).find(({ id }) => id === question);
  return form && said(form, given);
}

function said(form: AnyOpenQuestion, given: object): string | undefined {
  switch (form.kind) {
    case 'number':
      return formatQuantity(form.expected(given), form.unit, digitsOf(form)) + within(form);
    case 'list':
      return form
        .expected(given)
        .map((value: number) => formatQuantity(value, form.unit, digitsOf(form)))
        .join(', ')
        .concat(within(form));
    case 'word':
      return form.accepts(given).join(' or ');
    case 'function':
      return undefined;
  }
}

const within = ({ tolerance, unit }: { readonly tolerance: Tolerance; readonly unit: string }) =>
  isWhole(tolerance) ? '' : `, within ${shownTolerance(tolerance, unit)}`;

const digitsOf = ({ digits = 0 }: { readonly digits?: number }) => Math.max(4, digits);

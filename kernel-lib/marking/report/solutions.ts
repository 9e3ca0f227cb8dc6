import {
  type Notebook,
  originalWithWork,
  sourceOf,
  tagOf,
  withSources,
  withStudentNumber,
} from '../../notebook/notebook';
import { givensFor } from '../../questions/draw';
import type { AnyKey } from '../../questions/sheet';
import { notebookFrom } from '../found-return';
import { expectedSaid } from '../shown-answer';

/** Cells of one question: code that runs, or a text. */
export interface CellsOfQuestion {
  readonly question: string;
  readonly cells: readonly { readonly is: 'code' | 'text'; readonly source: string }[];
}

/** How a question is answered with the numbers of one student. */
export interface ModelAnswer extends CellsOfQuestion {
  /** What was expected of this very student, where that can be said in a line. */
  readonly expected?: string;
}

/** The cells of each question in which a student was to work, and those that were put beside them. */
function cellsByQuestion(notebook: Notebook, isMeant: (id: string) => boolean): CellsOfQuestion[] {
  const found = new Map<string, CellsOfQuestion['cells'][number][]>();
  let at: string | undefined;
  for (const cell of notebook.cells) {
    const tag = tagOf(cell);
    at = tag ? tag.question : at;
    if (at === undefined || (tag && tag.role !== 'work' && tag.role !== 'written')) continue;
    const source = sourceOf(cell).trim();
    if (source === '' || !isMeant(cell.id)) continue;
    const is = cell.cell_type === 'code' ? 'code' : 'text';
    found.set(at, [...(found.get(at) ?? []), { is, source }]);
  }
  return [...found].map(([question, cells]) => ({ question, cells }));
}

/**
 * The model answers of a sheet with the numbers of one student.
 *
 * @param student whose numbers they are
 */
export function modelAnswers(key: AnyKey, original: Notebook, student: string): ModelAnswer[] {
  const given = givensFor(key.sheet, student);
  const filled = withSources(original, key.model);
  const cells = new Map(
    cellsByQuestion(filled, (id) => Object.hasOwn(key.model, id)).map((one) => [
      one.question,
      one.cells,
    ]),
  );
  return key.sheet.questions.map(({ id: question }) => {
    const expected = expectedSaid(key, question, given);
    return {
      question,
      cells: cells.get(question) ?? [],
      ...(expected === undefined ? {} : { expected }),
    };
  });
}

/** Folder of model answers beside the notebooks of a student. */
export const modelFolder = 'model answers';

/** The sheet with its model answers, to be run by the student whose number stands in it. Nothing in it has run. */
export const modelNotebook = (key: AnyKey, original: Notebook, student: string): Notebook =>
  withStudentNumber(withSources(original, key.model), student);

/**
 * What a student did for each question, without what came out of it.
 *
 * @param text as `writtenText` packed it
 */
export function workingOf(original: Notebook, text: string): CellsOfQuestion[] {
  const blank = new Map(original.cells.map((cell) => [cell.id, sourceOf(cell).trim()]));
  const laid = originalWithWork(original, notebookFrom(text));
  const untouched = new Set(
    laid.cells.filter((cell) => blank.get(cell.id) === sourceOf(cell).trim()).map(({ id }) => id),
  );
  return cellsByQuestion(laid, (id) => !untouched.has(id));
}

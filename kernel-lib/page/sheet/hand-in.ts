import { readWorded } from '../../cells/plain-words';
import { type Cell, type Notebook, sourceOf } from '../../notebook/notebook';
import type { GoingAlong } from '../../travels/files-beside';
import type { MadeFile } from '../net/host';
import { plainText } from '../text/printed-text';
import { messageOf } from './outputs';
import type { QuestionRow } from './standing';
import { isChangedSince, partsOf } from './working';

/** Something that a student should know before handing in. */
export interface StillOpen {
  readonly question: string;
  readonly asks: string;
  /** In words: no answer yet, not yet, changed since it was checked, nothing written yet. */
  readonly says: string;
}

const words: Record<string, string> = {
  open: 'no answer yet',
  'not yet': 'not yet',
  'to write': 'nothing written yet',
};

/** The questions that are not done, or whose working is not what was checked. */
export function stillOpen(cells: readonly Cell[], rows: readonly QuestionRow[]): StillOpen[] {
  return rows.flatMap(({ id: question, asks, state }) => {
    const changed = isChangedSince(cells, question) ? 'changed since it was checked' : undefined;
    const says = [words[state], changed].filter((one) => one !== undefined).join(', ');
    return says === '' ? [] : [{ question, asks, says }];
  });
}

/** A cell that ended with an error when it last ran. */
export interface FailedCell {
  readonly id: string;
  /** Of the part that it stands in; left out at the top of the sheet and between questions. */
  readonly question?: string;
  readonly says: string;
}

/** Cells that ended with an error; of each question the first, for the others mostly follow from it. */
export function failedCells(cells: readonly Cell[]): FailedCell[] {
  const told = new Set<string>();
  return partsOf(cells).flatMap(({ question, cells: own }) =>
    own.flatMap((cell) => {
      const outputs = cell.cell_type === 'code' ? cell.outputs : [];
      const error = outputs.find((output) => output.output_type === 'error');
      if (error?.output_type !== 'error' || (question !== undefined && told.has(question)))
        return [];
      if (question !== undefined) told.add(question);
      const [says] = (readWorded(error.traceback ?? [])?.says ?? messageOf(error)).split('\n');
      return [{ id: cell.id, ...(question !== undefined && { question }), says: plainText(says) }];
    }),
  );
}

/** Marks that a question had before the sheet was run as it is marked, and has no more. */
export interface LostMarks {
  readonly question: string;
  readonly asks: string;
  readonly before: number;
  readonly now: number;
}

/** What a run from the top has cost. @param before how the questions stood; `now`: how they stand after it */
export function lostMarks(
  before: readonly QuestionRow[],
  now: readonly QuestionRow[],
): LostMarks[] {
  const marks = new Map(now.map((row) => [row.id, row.marks ?? 0]));
  return before.flatMap(({ id: question, asks, marks: had = 0 }) => {
    const has = marks.get(question) ?? 0;
    return has < had ? [{ question, asks, before: had, now: has }] : [];
  });
}

/** The one file to send or to keep. What packs it is fetched only now. */
export async function packed(
  notebook: Notebook,
  name: string,
  { files }: GoingAlong,
): Promise<MadeFile> {
  const { packReturn } = await import('../../travels/pack-return');
  return packReturn(notebook, name, files);
}

/** True when every code cell has run in this kernel as it stands, from the top down: what a marker does too. */
export function hasRunFromTop(cells: readonly Cell[], ran: ReadonlyMap<string, string>): boolean {
  const order = [...ran.keys()];
  const turns = cells
    .filter((cell) => cell.cell_type === 'code')
    .map((cell) => (ran.get(cell.id) === sourceOf(cell) ? order.indexOf(cell.id) : -1));
  return turns.every((turn, i) => turn >= 0 && (i === 0 || turn > turns[i - 1]));
}

import type { Work } from '../../questions/work';
import type { CellCode } from '../cell-code';

type Names = Pick<CellCode, 'reads' | 'sets'>;

/** Knows which names hold values from before the sheet was begun with another student number. */
export interface Beginnings {
  /** A cell is about to run: the sheet is told which of the names that it reads are from before. */
  before(cell: Names): void;
  /** It ran, as far as it came. */
  after(cell: Names): void;
}

/** @param workNow the sheet that is being worked on; it may be another, or another student's, after each cell */
export function createBeginnings(workNow: () => Work | undefined): Beginnings {
  let begun: string | undefined;
  let turn = 0;
  /** Of each name: after how many changes of the number it was set, or what it was computed from. */
  const turns = new Map<string, number>();
  const turnOf = (name: string) => turns.get(name) ?? turn;

  return {
    before({ reads }) {
      const work = workNow();
      if (work) work.older = reads.filter((name) => turnOf(name) < turn);
    },
    after({ reads, sets }) {
      const work = workNow();
      if (work) work.older = [];
      const now = work && `${work.sheet.name} ${work.student}`;
      const isAnother = begun !== undefined && now !== undefined && now !== begun;
      begun = now ?? begun;
      if (isAnother) turn += 1;
      // What the sheet was begun with is as new as the beginning.
      const oldest = isAnother ? turn : Math.min(turn, ...reads.map(turnOf));
      for (const name of isAnother ? [...reads, ...sets] : sets) turns.set(name, oldest);
    },
  };
}

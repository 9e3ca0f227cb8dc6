import type { Work } from '../../questions/work';
import type { CellCode } from '../cell-code';

type Names = Pick<CellCode, 'reads' | 'sets'>;

/** Knows which names hold values from before the sheet was begun with another student number, or another set-up. */
export interface Beginnings {
  /** A cell is about to run: the sheet is told which of the names that it reads are from before. */
  before(cell: Names): void;
  /** It ran, as far as it came; `source` is its text. */
  after(cell: Names, source: string): void;
}

/** @param workNow the sheet that is being worked on; it may be another, or another student's, after each cell */
export function createBeginnings(workNow: () => Work | undefined): Beginnings {
  /** Who works at which sheet, and the cell that began it. */
  let begun: { readonly who: string; readonly source: string } | undefined;
  let changed: Work['changed'] = 'student number';
  let atStart: Work | undefined;
  let turn = 0;
  /** Of each name: after how many changes of these it was set, or what it was computed from. */
  const turns = new Map<string, number>();
  const turnOf = (name: string) => turns.get(name) ?? turn;

  return {
    before({ reads }) {
      const work = workNow();
      atStart = work;
      if (!work) return;
      work.older = reads.filter((name) => turnOf(name) < turn);
      work.changed = changed;
    },
    after({ reads, sets }, source) {
      const work = workNow();
      if (work) work.older = [];
      let isAnother = false;
      // Each beginning makes a piece of work of its own, also where it goes on.
      if (work && work !== atStart) {
        const who = `${work.sheet.name} ${work.student}`;
        const isOther = begun !== undefined && begun.who !== who;
        isAnother = isOther || (begun !== undefined && begun.source !== source);
        if (isAnother) changed = isOther ? 'student number' : 'set-up';
        begun = { who, source };
      }
      if (isAnother) turn += 1;
      // What the sheet was begun with is as new as the beginning.
      const oldest = isAnother ? turn : Math.min(turn, ...reads.map(turnOf));
      for (const name of isAnother ? [...reads, ...sets] : sets) turns.set(name, oldest);
    },
  };
}

import type { ChangedPlace } from './changed-marks';
import type { ClassGrid } from './class-grid';

/** All that is told of a folder of marks. */
export interface LookedThrough {
  readonly folder: string;
  readonly course?: string;
  /** When it was last marked to the end, ms since 1970. */
  readonly markedAt: number;
  readonly zone: string;
  readonly deadline: string | null;
  readonly grid: ClassGrid;
  /** What stands in the table of changed marks and cannot be used; then none of it lies over the marks. */
  readonly problem?: string;
  /** The change that can be taken back next. */
  readonly last?: LastChange;
}

export interface LastChange {
  readonly change: number;
  readonly when: string;
  readonly places: readonly ChangedPlace[];
}

/** A mark that a person sets, at one place or several. */
export interface Setting {
  readonly places: readonly (ChangedPlace & {
    /** What the person saw there: where another stands by now, nothing is changed. */
    readonly seen: number | null;
  })[];
  /** null gives it back to the marker. */
  readonly marks: number | null;
  readonly reason: string;
  readonly by: string;
}

/** One line of the history of marks that people changed. */
export interface ChangeInHistory extends ChangedPlace {
  /** ISO 8601. */
  readonly when: string;
  /** Lines with one number were made in one go. */
  readonly change: number;
  /** What the person typed for a name; may be empty. */
  readonly by: string;
  /** What stood in the table before; undefined where the marker's mark held. */
  readonly before?: { readonly marks: number; readonly reason: string };
  /** What stands there since; undefined where the marker's mark holds again. */
  readonly now?: { readonly marks: number; readonly reason: string };
  /** The number of the change that this one took back. */
  readonly undoes?: number;
}

/** What the page asks first. */
export interface MarkingStart {
  /** The folder of marks that the desk was started with, or the last one that was open. */
  readonly folder: string | null;
  readonly recent: readonly string[];
}

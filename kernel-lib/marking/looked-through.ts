import type { ChangedPlace } from './changed-marks';
import type { ClassGrid } from './class-grid';
import type { ExportProfile } from './export-table';
import type { ExtraLine } from './late';
import type { Person, RosterColumns, RosterHead } from './roster';

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

/** How a run of the marker stands. */
export interface RunState {
  readonly is: 'running' | 'done' | 'stopped' | 'failed';
  readonly returns: string;
  /** ms since 1970. */
  readonly startedAt: number;
  readonly toldAt?: number;
  /** Returns that have been run, of those that had to be; 0 of 0 while it is looked what came in. */
  readonly done: number;
  readonly of: number;
  /** What stands between students' code and this computer. */
  readonly lockDown?: string;
  /** What the program said. */
  readonly said: string;
}

/** A file that came in, and what became of it. */
export interface CameIn {
  readonly path: string;
  /** `marked`, `did not run`, or why it is not marked. */
  readonly outcome: string;
  readonly student: string;
  readonly sheet: string;
  readonly time: string;
  /** What told the time. */
  readonly timeFrom: string;
  readonly remark: string;
  /** A person should say what becomes of it. */
  readonly waits: boolean;
  /** It could be read, so that it can be somebody's. */
  readonly isReturn: boolean;
  /** A row for another of a group, whose file has one of its own. */
  readonly isAlso: boolean;
  /** How many files this row stands for. */
  readonly files: number;
  /** What a person said of it; `student` '' leaves it out. */
  readonly said?: { readonly student: string; readonly reason: string };
}

/** What a class goes by, as its folder of marks keeps it. */
export interface ClassTold {
  /** The class list; undefined where there is none. */
  readonly roster?: RosterHead & {
    readonly file: string;
    readonly students: number;
    /** What was said by hand of its columns. */
    readonly said: RosterColumns;
    /** Why it cannot be read at present; marks go by what stood in it. */
    readonly problem?: string;
  };
  readonly sheets: readonly {
    readonly sheet: string;
    readonly title: string;
    readonly isChosen: boolean;
  }[];
  /** As it was typed; '' for none. */
  readonly deadline: string;
  readonly zone: string;
  readonly late: number;
  readonly count: 'latest' | 'best';
  /** Rounds to hand in again: until when, as it was typed, and up to what percent. */
  readonly again: readonly { readonly until: string; readonly cap: number }[];
  readonly groups: boolean;
  readonly believeTimes: boolean;
  readonly solutions: 'none' | 'after' | 'now';
  readonly extra: readonly ExtraLine[];
  /** Why the table of extra days cannot be used. */
  readonly problem?: string;
}

/** What is to be set of a class; what is not there stays as it is, '' and an empty list take away. */
export type ClassToSet = Partial<
  Pick<
    ClassTold,
    'deadline' | 'zone' | 'late' | 'count' | 'again' | 'groups' | 'believeTimes' | 'solutions'
  > & {
    /** Where the returns lie. */
    readonly returns: string;
    /** A file on this computer. */
    readonly roster: string;
    readonly rosterColumns: RosterColumns;
    /** Those that are marked; empty for all. */
    readonly sheets: readonly string[];
  }
>;

/** What became of a class list that was dropped. */
export interface RosterTaken extends RosterHead {
  /** Why it was not kept. */
  readonly problem?: string;
}

/** All that came in. */
export interface WhatCameIn {
  readonly folder: string;
  /** Where the returns lay that were marked last; '' for nowhere yet. */
  readonly returns: string;
  /** Where they are put unless another place is named. */
  readonly usualReturns: string;
  readonly files: readonly CameIn[];
  /** Students who may be chosen: those of the roster; else those who handed something in. */
  readonly students: readonly string[];
  readonly setUp: ClassTold;
  readonly run?: RunState;
}

/** What is needed to give marks back. */
export interface GoingBackTold {
  /** By student number, as the roster's file has them now; kept nowhere. */
  readonly people: Readonly<Record<string, Person>>;
  readonly profiles: readonly ExportProfile[];
  readonly usual: ExportProfile;
}

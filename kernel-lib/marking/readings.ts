import { tableRows, unled } from './csv';
import type { ShownAnswer, WorkPart } from './shown-answer';
import { type Entry, earnedBy, type Scheme } from './written-table';

/** One line of `written/readings.csv`, to which lines are only added: what a reader made of an answer. */
export interface ReadingLine {
  /** ISO 8601. */
  readonly when: string;
  readonly reading: number;
  /** What the reader typed for a name; '' for what was entered in the table by hand. */
  readonly by: string;
  readonly sheet: string;
  readonly question: string;
  /** Stands for the student. */
  readonly code: string;
  readonly entered: Entry;
  /** Why this counts, where readers differed; '' for a reader's own reading. */
  readonly settles: string;
  /** The number of the reading that this line took back. */
  readonly undoes?: number;
}

export const readingColumns = [
  ...['when', 'reading', 'by', 'sheet', 'question', 'code'],
  ...['ticks', 'points', 'remark', 'settles', 'undoes'],
];

/** Ticks in the order of the mark scheme, such as `x – 0.5`. */
const noTick = '–';

export const rowOfReading = (line: ReadingLine): (string | number)[] => [
  ...[line.when, line.reading, line.by, line.sheet, line.question, line.code],
  line.entered.ticks.map((tick) => tick || noTick).join(' '),
  ...[line.entered.points, line.entered.remark, line.settles, line.undoes ?? ''],
];

/** @throws RangeError where it is no such table */
export function readReadings(text: string): ReadingLine[] {
  return tableRows(text, readingColumns).flatMap(({ cell }): ReadingLine[] => {
    const reading = Number(cell('reading'));
    if (!Number.isInteger(reading)) return [];
    const ticks = cell('ticks').split(' ').filter(Boolean);
    return [
      {
        ...{ when: cell('when'), reading, by: unled(cell('by')), sheet: cell('sheet') },
        ...{ question: cell('question'), code: cell('code') },
        entered: {
          ticks: ticks.map((tick) => (tick === noTick ? '' : tick)),
          points: cell('points'),
          remark: unled(cell('remark')),
        },
        settles: unled(cell('settles')),
        ...(cell('undoes') === '' ? {} : { undoes: Number(cell('undoes')) }),
      },
    ];
  });
}

const nothing: Entry = { ticks: [], points: '', remark: '' };
const isNothing = ({ ticks, points, remark }: Entry) =>
  points === '' && remark === '' && ticks.every((tick) => tick === '');

/** As they come back out of a table. */
const form = ({ ticks, points, remark }: Entry) => {
  const last = ticks.findLastIndex((tick) => tick !== '');
  return JSON.stringify([ticks.slice(0, last + 1), points, remark.replace(/\s+/g, ' ').trim()]);
};

export const inTable = 'Entered in the table.';

/** How an answer stands among its readers. */
export interface Stand {
  /** What goes into the table and the marks. */
  readonly counts: Entry;
  /** The last reading of each; those who took theirs back have none. */
  readonly byReader: ReadonlyMap<string, Entry>;
  /** Readers whose marks are other than those that count, since it was last settled. */
  readonly differ: readonly string[];
  /** Who settled it, and why. */
  readonly settled?: { readonly by: string; readonly reason: string };
}

/** Lines that hold: neither taken back nor themselves the taking back. */
export function held(lines: readonly ReadingLine[]): ReadingLine[] {
  const undone = new Set(lines.flatMap(({ undoes }) => undoes ?? []));
  return lines.filter(({ undoes, reading }) => undoes === undefined && !undone.has(reading));
}

/**
 * How the readings of one answer stand. The first reader's counts, until a difference is settled; whoever reads later
 * is asked for a second judgement, which moves nothing by itself.
 *
 * @param lines those of this answer, the oldest first
 */
export function standOf(lines: readonly ReadingLine[], scheme: Scheme): Stand {
  let first: string | undefined;
  let counts: { entered: Entry; by: string } | undefined;
  let settled: Stand['settled'];
  const byReader = new Map<string, Entry>();
  const since = new Set<string>();
  for (const { by, entered, settles } of held(lines)) {
    if (settles !== '') {
      counts = { entered, by: '' };
      settled = { by, reason: settles };
      since.clear();
      continue;
    }
    if (isNothing(entered)) byReader.delete(by);
    else byReader.set(by, entered);
    first ??= by;
    if (by === first) counts = { entered, by };
    else since.add(by);
    if (by === first && settled) {
      settled = undefined;
      since.clear();
    }
  }
  const marks = counts && earnedBy(counts.entered, scheme);
  const differ = [...since].filter((by) => {
    const theirs = byReader.get(by);
    const other = theirs && earnedBy(theirs, scheme);
    return other !== undefined && marks !== undefined && other !== marks;
  });
  return { counts: counts?.entered ?? nothing, byReader, differ, ...(settled ? { settled } : {}) };
}

/**
 * The line that is missing where somebody entered something in the table by hand since: it counts, and settles what
 * readers had made of it. Undefined where table and readings agree.
 */
export function byHandLine(
  lines: readonly ReadingLine[],
  row: Entry,
  scheme: Scheme,
): Pick<ReadingLine, 'by' | 'entered' | 'settles'> | undefined {
  const { ticks, points, remark } = row;
  if (form(standOf(lines, scheme).counts) === form(row)) return undefined;
  const settles = held(lines).length === 0 ? '' : inTable;
  return { by: '', entered: { ticks, points, remark }, settles };
}

/** A question that a person reads, and how far that has come for one reader. */
export interface QuestionToRead {
  readonly sheet: string;
  readonly title: string;
  readonly question: string;
  readonly asks: string;
  readonly outOf: number;
  readonly scheme: Scheme;
  readonly answers: number;
  /** Of them nobody has read so many. */
  readonly unread: number;
  /** So many were read by others and not by this reader. */
  readonly second: number;
  readonly mine: number;
  readonly differ: number;
}

/** What the page is told of the reading; of other readers only where both have read. */
export interface ReadingTold {
  readonly questions: readonly QuestionToRead[];
  /** Remarks that this reader has made, the last first. */
  readonly remarks: readonly {
    readonly sheet: string;
    readonly question: string;
    readonly remark: string;
  }[];
  /** What cannot be used in a table, in a sentence. */
  readonly problem?: string;
}

/** An answer in the pile of one reader. */
export interface AnswerToRead {
  readonly code: string;
  readonly is: 'unread' | 'second' | 'mine';
  readonly mine?: Entry;
  /** What the program says of it, such as that it has changed since it was read. */
  readonly note: string;
}

/** An answer as it is read: without who wrote it. */
export interface AnswerShown extends Pick<ShownAnswer, 'scheme'> {
  readonly code: string;
  readonly parts: readonly WorkPart[];
}

/** An answer on which readers differ, or did before it was settled. */
export interface Difference {
  readonly code: string;
  readonly readings: readonly {
    readonly by: string;
    readonly entered: Entry;
    readonly marks: number;
  }[];
  /** Marks that count now. */
  readonly counts: number | null;
  readonly settled?: Stand['settled'];
}

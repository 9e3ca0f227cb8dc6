import { existsSync, readFileSync, realpathSync, statSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { Refusal } from '../desk/refusal';
import { readNotebookFile } from '../kernel/files';
import { findKey, sheetNames } from '../kernel/sheets';
import { changedMarksFile, changeMarks, historyOf } from '../marker/change-marks';
import { keptIn } from '../marker/settings';
import {
  type ChangedMark,
  type ChangedPlace,
  placeOf,
  readChangedMarks,
} from '../marking/changed-marks';
import { classGrid, type MarkedClass, marksNow } from '../marking/class-grid';
import type {
  ChangeInHistory,
  LastChange,
  LookedThrough,
  Setting,
} from '../marking/looked-through';
import { plainText } from '../marking/run-report';
import { expectedSaid, type ShownAnswer, workFor } from '../marking/shown-answer';
import { givensFor } from '../questions/draw';
import { readingIn } from './reading';

/**
 * A folder of marks as `multislit mark` left it.
 *
 * @throws Refusal with a sentence where it is none
 */
export function marksFolder(path: string) {
  const folder = realFolder(path);
  const classFile = join(folder, 'class.json');
  if (!existsSync(classFile))
    throw new Refusal(
      404,
      `${folder} holds no marks yet: there is no class.json in it. Name the folder that "multislit mark RETURNS --to FOLDER" wrote, marked to its end.`,
    );
  const tableFile = join(folder, changedMarksFile);
  let read: { readonly stamp: string; readonly marked: MarkedClass } | undefined;

  function marked(): MarkedClass {
    const { mtimeMs, size } = statSync(classFile);
    const stamp = `${mtimeMs} ${size}`;
    if (read?.stamp === stamp) return read.marked;
    try {
      const found = JSON.parse(readFileSync(classFile, 'utf8')) as MarkedClass;
      if (!Array.isArray(found.sheets) || !Array.isArray(found.students)) throw new Error('form');
      read = { stamp, marked: found };
      return found;
    } catch {
      throw new Refusal(
        400,
        `${classFile} is damaged. Run multislit mark again with this folder: it writes the file anew.`,
      );
    }
  }

  const readTable = (text: string): ChangedMark[] => {
    const { sheets, students } = marked();
    const outOf = sheets.map(
      ({ sheet, questions }) =>
        [sheet, new Map(questions.map((one) => [one.question, one.outOf]))] as const,
    );
    const here = new Set(
      students.flatMap(({ student, sheets: own }) => own.map(({ sheet }) => `${student} ${sheet}`)),
    );
    try {
      return readChangedMarks(text, {
        outOf: new Map(outOf),
        sheets: sheetNames(),
        students: new Set(students.map(({ student }) => student)),
        handedIn: (student, sheet) => here.has(`${student} ${sheet}`),
      });
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      throw new Refusal(409, `${tableFile}: ${error.message}`);
    }
  };

  function tableNow(): { changes: ChangedMark[]; problem?: string } {
    try {
      return { changes: readTable(existsSync(tableFile) ? readFileSync(tableFile, 'utf8') : '') };
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      return { changes: [], problem: error.message };
    }
  }

  const reading = readingIn(folder, marked);

  function look(): LookedThrough {
    const all = marked();
    const { changes, problem } = tableNow();
    const last = lastChange(historyOf(folder));
    return {
      folder,
      ...(all.course === undefined ? {} : { course: all.course }),
      markedAt: statSync(classFile).mtimeMs,
      zone: keptIn(folder)?.zone ?? 'UTC',
      deadline: all.deadline,
      grid: classGrid(all, changes, reading.readNow),
      ...(problem === undefined ? {} : { problem }),
      ...(last ? { last } : {}),
    };
  }

  /** The mark at a place as it stands now. */
  function markAt({ student, sheet, question }: ChangedPlace, changes: readonly ChangedMark[]) {
    const own = marked().students.find((one) => one.student === student);
    const found = own?.sheets.find((one) => one.sheet === sheet);
    if (!own || !found?.questions.some((one) => one.question === question))
      throw new Refusal(404, `No answer of ${student} to ${question} of ${sheet} is here.`);
    const only = { ...marked(), students: [{ ...own, sheets: [found] }] };
    const grid = classGrid(only, changes, reading.readNow);
    const at = grid.columns.findIndex((one) => one.sheet === sheet && one.question === question);
    return { cell: grid.students[0].cells[at]!, found };
  }

  return {
    folder,
    look,
    reading,
    marked,

    answer(place: ChangedPlace): ShownAnswer {
      const { changes } = tableNow();
      const { found } = markAt(place, changes);
      const { student, sheet, question } = place;
      const own = changes.filter((one) => placeOf(one) === placeOf(place));
      const [now] = marksNow(student, [found], own, reading.readNow);
      const mark = now.questions.find((one) => one.question === question)!;
      const key = findKey(sheet);
      const notebook = join(folder, 'students', student, `${sheet}.ipynb`);
      const expected =
        key && expectedSaid(key, question, givensFor(key.sheet, found.drawnFor ?? student));
      const scheme = key?.schemes[question];
      return {
        ...{ student, sheet, mark },
        ...(existsSync(notebook) ? { work: workFor(readNotebookFile(notebook), question) } : {}),
        ...(expected === undefined ? {} : { expected }),
        ...(scheme ? { scheme } : {}),
      };
    },

    /** Set a mark at one place or several, in one go. */
    set({ places, marks, reason, by }: Setting): Promise<ChangeInHistory[]> {
      const why = oneLine(reason, 2000);
      if (places.length === 0) throw new Refusal(400, 'Choose at least one answer.');
      if (marks !== null && why === '')
        throw new Refusal(400, 'Give a reason: the student and your colleagues will ask for one.');
      return changeMarks(folder, readTable, (changes) => {
        const entries = places.map((place) => {
          const { cell } = markAt(place, changes);
          const column = marked()
            .sheets.find(({ sheet }) => sheet === place.sheet)!
            .questions.find(({ question }) => question === place.question)!;
          const { student, sheet, question } = place;
          const now = cell.state === 'to be read' ? null : cell.marks;
          if (now !== place.seen)
            throw new Refusal(
              409,
              `The mark of ${student} for ${question} was changed meanwhile, to ${now ?? 'none yet'}. Nothing was changed here: look at it and decide again.`,
            );
          if (marks !== null && !(marks >= 0 && marks <= column.outOf))
            throw new Refusal(
              400,
              `A number from 0 to ${column.outOf} is expected for ${question}.`,
            );
          return marks === null
            ? { student, sheet, question, marks: undefined, reason: why }
            : { student, sheet, question, marks, reason: why };
        });
        return { entries, by: oneLine(by, 80) };
      });
    },

    /** Take a change back, where what it set still stands. */
    undo(number: number, by: string): Promise<ChangeInHistory[]> {
      return changeMarks(folder, readTable, (changes, history) => {
        const lines = history.filter(({ change }) => change === number);
        if (lines.length === 0 || history.some(({ undoes }) => undoes === number))
          throw new Refusal(409, 'This change was taken back already, or was never made.');
        const standing = new Map(changes.map((one) => [placeOf(one), one]));
        const entries = lines.map((line) => {
          const { student, sheet, question, before, now } = line;
          const is = standing.get(placeOf(line));
          if (is?.marks !== now?.marks || (is?.reason ?? '') !== (now?.reason ?? ''))
            throw new Refusal(
              409,
              `The mark of ${student} for ${question} was changed again since then. Nothing was taken back: change it where it stands.`,
            );
          return before
            ? { student, sheet, question, ...before }
            : { student, sheet, question, marks: undefined, reason: '' };
        });
        return { entries, by: oneLine(by, 80), undoes: number };
      });
    },

    history: () => historyOf(folder),
  };
}

const oneLine = (text: string, longest: number) =>
  plainText(text, longest).replace(/\s+/g, ' ').trim();

function realFolder(path: string): string {
  const folder = resolve(path);
  if (!existsSync(folder) || !statSync(folder).isDirectory())
    throw new Refusal(404, `${folder} is no folder on this computer.`);
  return realpathSync(folder);
}

function lastChange(history: readonly ChangeInHistory[]): LastChange | undefined {
  const undone = new Set(history.flatMap(({ undoes }) => undoes ?? []));
  const last = history.findLast(
    ({ change, undoes }) => undoes === undefined && !undone.has(change),
  );
  if (!last) return undefined;
  const places = history
    .filter(({ change }) => change === last.change)
    .map(({ student, sheet, question }) => ({ student, sheet, question }));
  return { change: last.change, when: last.when, places };
}

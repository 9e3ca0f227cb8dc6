import { sheetOf } from '../notebook/marks';
import type { Notebook } from '../notebook/notebook';
import { studentNumberOf } from '../notebook/student-number';
import { sampleStudent } from '../questions/student-number';

/** Whose return it is and of which sheet; or why that cannot be told. */
export type Identity =
  | {
      readonly student: string;
      readonly sheet: string;
      readonly note?: string;
      /** The file's name says another student of the roster. */
      readonly namesAnother?: true;
    }
  | { readonly reason: 'wrong sheet' | 'unknown student'; readonly why: string };

/** What is known before returns are looked at. */
export interface Class {
  readonly sheets: ReadonlySet<string>;
  /** Without a roster any well-formed number is taken. */
  readonly roster?: ReadonlySet<string>;
}

const digits = /^\d{4,10}$/;

/** Numbers in a path that stand in the roster, each once. */
function rosterNumbersIn(path: string, roster: ReadonlySet<string>): string[] {
  const found = path.match(/\d{4,10}/g) ?? [];
  return [...new Set(found.filter((number) => roster.has(number)))];
}

/**
 * Whose return a notebook is: by the number in the notebook, else by a number of the roster in the name of the
 * file or a folder around it. Which sheet: by the marks on its cells.
 */
export function identify(path: string, notebook: Notebook, { sheets, roster }: Class): Identity {
  const sheet = sheetOf(notebook);
  if (sheet === undefined || !sheets.has(sheet)) {
    const what = sheet === undefined ? 'carries no sheet’s marks' : `is of the sheet "${sheet}"`;
    return {
      reason: 'wrong sheet',
      why: `The notebook ${what}; marked are ${[...sheets].join(', ')}.`,
    };
  }
  const typed = studentNumberOf(notebook) ?? '';
  const own = digits.test(typed) && typed !== sampleStudent ? typed : undefined;
  if (own !== undefined && (!roster || roster.has(own))) {
    const other = roster
      ? rosterNumbersIn(path, roster).find((number) => number !== own)
      : undefined;
    const note =
      other && `The notebook says ${own}, the file's name says ${other}; ${own} was taken.`;
    return { student: own, sheet, ...(note ? { note, namesAnother: true } : {}) };
  }
  const named = roster ? rosterNumbersIn(path, roster) : [];
  if (named.length === 1) {
    const said = typed === '' || typed === sampleStudent ? 'no number' : `"${typed.slice(0, 20)}"`;
    const note = `The notebook carries ${said}; ${named[0]} comes from the file's name.`;
    return { student: named[0], sheet, note };
  }
  return { reason: 'unknown student', why: whyUnknown(own, named, roster !== undefined) };
}

function whyUnknown(own: string | undefined, named: readonly string[], hasRoster: boolean): string {
  if (named.length > 1) return `The file's name carries several students: ${named.join(', ')}.`;
  if (own !== undefined) return `The student number ${own} is not in the roster.`;
  const where = hasRoster
    ? 'nor does the file’s name'
    : 'and there is no roster to look in names for';
  return `The notebook carries no student number of its own, ${where}.`;
}

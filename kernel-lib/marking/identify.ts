import { sampleStudent } from '../questions/student-number';

/** Whose return it is; or why that cannot be told. */
type Identity =
  | {
      readonly student: string;
      readonly note?: string;
      /** The name of file or folder says another student, or the number was guessed: others count before this. */
      readonly namesAnother?: true;
      /** A number of nobody's that stands in the notebook: its work may be right for that number's givens. */
      readonly typed?: string;
    }
  | { readonly reason: 'unknown student'; readonly why: string };

/** What is known before a return is told. */
interface KnownStudents {
  /** Without a roster any well-formed number is taken. */
  readonly roster?: ReadonlySet<string>;
  /** Numbers that mean a student where they stand in a name: the roster's, else those that stand in notebooks. */
  readonly inNames: ReadonlySet<string>;
}

const digits = /^\d{4,10}$/;

/** Students' numbers in a path, each once. */
export function studentsInName(path: string, known: ReadonlySet<string>): string[] {
  const found = path.match(/\d{4,10}/g) ?? [];
  return [...new Set(found.filter((number) => known.has(number)))];
}

/** A number with what people type around it: blanks, points, dashes, letters in front. */
function bare(typed: string): string | undefined {
  const number = /^[a-z]{0,3}(\d{4,10})$/i.exec(typed.replace(/[\s._-]/g, ''))?.[1];
  return number === sampleStudent ? undefined : number;
}

/**
 * Whose return a notebook is: by the number in it, else by a number in the name of the file or a folder around it, else
 * by a number of the roster that is one slip from the one that was typed.
 *
 * @param typed what stands in the notebook's code as student number; '' for nothing
 */
export function identify(
  path: string,
  typed: string,
  { roster, inNames }: KnownStudents,
): Identity {
  const named = studentsInName(path, inNames);
  const own = bare(typed);
  const said = own === undefined && typed !== '' && typed !== sampleStudent ? cut(typed) : typed;
  if (own !== undefined && (!roster || roster.has(own))) {
    const other = named.includes(own) ? undefined : named[0];
    const odd = digits.test(typed.trim())
      ? ''
      : `The notebook says "${cut(typed)}"; ${own} was taken.`;
    const note = other
      ? `The notebook says ${own}, the file's name says ${other}; ${own} was taken.`
      : odd;
    return { student: own, ...(note ? { note } : {}), ...(other ? { namesAnother: true } : {}) };
  }
  if (named.length === 1 && roster) {
    const [student] = named;
    if (own === undefined) {
      const carries = typed === '' || typed === sampleStudent ? 'no number' : `"${said}"`;
      return {
        student,
        note: `The notebook carries ${carries}; ${student} comes from the file's name.`,
      };
    }
    const note = `The notebook says ${own}, which nobody of the roster has; ${student} comes from the file's name and was taken.`;
    return { student, note, typed: own };
  }
  const near =
    own !== undefined && named.length === 0
      ? [...(roster ?? [])].filter((number) => isOneSlip(number, own))
      : [];
  if (own !== undefined && near.length === 1) {
    const note = `The notebook says ${own}, which nobody of the roster has; ${near[0]} is one slip from it and was taken.`;
    return { student: near[0], note, typed: own, namesAnother: true };
  }
  return { reason: 'unknown student', why: whyUnknown(own, { named, near }, roster !== undefined) };
}

const cut = (text: string) => text.slice(0, 20);

function whyUnknown(
  own: string | undefined,
  { named, near }: { named: readonly string[]; near: readonly string[] },
  hasRoster: boolean,
): string {
  if (named.length > 1)
    return `The file's name carries several students: ${named.join(', ').slice(0, 200)}.`;
  const like = near.length === 0 ? '' : ` One slip from it are ${near.slice(0, 5).join(', ')}.`;
  if (own !== undefined) return `The student number ${own} is not in the roster.${like}`;
  const where = hasRoster
    ? 'nor does the file’s name'
    : 'and there is no roster to look in names for';
  return `The notebook carries no student number of its own, ${where}.`;
}

/**
 * True when two numbers differ by one slip of the fingers: a digit changed, left out or doubled in, or two neighbours
 * exchanged (the four kinds that Damerau counted; from memory).
 *
 * @example isOneSlip('204117', '204171') // true
 */
function isOneSlip(a: string, b: string): boolean {
  if (a === b || Math.abs(a.length - b.length) > 1) return false;
  let i = 0;
  while (i < a.length && a[i] === b[i]) i += 1;
  const [restA, restB] = [a.slice(i), b.slice(i)];
  if (a.length > b.length) return restA.slice(1) === restB;
  if (a.length < b.length) return restA === restB.slice(1);
  const isExchanged =
    restA[0] === restB[1] && restA[1] === restB[0] && restA.slice(2) === restB.slice(2);
  return restA.slice(1) === restB.slice(1) || isExchanged;
}

import { byteOrderMark, refuseAll, rewriteRows, tableRows } from './csv';
import { plainText } from './run-report';

/** What a person said of a file: whose it is, or that it is left out; and why. */
export interface SaidOfFile {
  /** undefined: it is left out. */
  readonly student: string | undefined;
  readonly reason: string;
}

/** By the path of the file, as the list of returns names it. */
export type Owners = ReadonlyMap<string, SaidOfFile>;

const columns = ['path', 'student', 'reason'] as const;
const head = `${byteOrderMark}${columns.join(',')}\n`;
const longestReason = 2000;

/** Without the apostrophe that was put before what looks like a formula. */
const unled = (text: string) => text.replace(/^'(?=[=+\-@])/, '');

/**
 * Read the table in which people say whose files are.
 *
 * @param roster where there is one, only its students own anything
 * @throws RangeError that names every line that cannot be used
 */
export function readOwners(text: string, roster: ReadonlySet<string> | undefined): Owners {
  const owners = new Map<string, SaidOfFile>();
  const problems: string[] = [];
  for (const { where, aside, cell } of tableRows(text, columns)) {
    const path = unled(cell('path').trim());
    const student = cell('student').trim();
    const reason = plainText(cell('reason').trim(), longestReason);
    const refuse = (why: string) => problems.push(`${where} ${why}${aside}`);
    if (path === '') refuse('names no file.');
    else if (owners.has(path)) refuse(`speaks of ${path} again; keep one of the two.`);
    if (student !== '' && !/^\d{4,10}$/.test(student))
      refuse(
        `has "${student}" as student; 4 to 10 digits were expected, or nothing to leave it out.`,
      );
    else if (student !== '' && roster && !roster.has(student))
      refuse(`has "${student}" as student, who is not in the roster.`);
    if (reason === '') refuse('gives no reason; whoever looks at it later will ask for one.');
    owners.set(path, { student: student === '' ? undefined : student, reason });
  }
  refuseAll(problems, 'Nothing was marked.');
  return owners;
}

/** The table with what is said of a file, or without it; all other lines stay as they were typed. */
export function withOwner(text: string, path: string, said: SaidOfFile | undefined): string {
  const row = said && { path, student: said.student ?? '', reason: said.reason };
  let isThere = false;
  return rewriteRows(
    text,
    head,
    (cell) => {
      if (unled(cell('path').trim()) !== path) return undefined;
      isThere = true;
      return row ?? null;
    },
    () => (row && !isThere ? [row] : []),
  );
}

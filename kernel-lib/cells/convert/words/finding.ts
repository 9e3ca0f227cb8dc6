import type { Diagnostic } from '../../plain-words';

/** What is known beside the cell itself; each is asked for only where a rule needs it. */
export interface Known {
  /** Values that cells before this one declared. */
  readonly declared: ReadonlySet<string>;
  /** All that the library has. */
  library(): readonly string[];
  /** The properties of `given`; none before a sheet is begun. */
  givens(): readonly string[];
  /** What the compiler says of the name at an offset, such as `const q: number`; '' where there is none. */
  typeAt(offset: number): string;
}

/** One thing that the compiler found, with the text around it. */
export interface Finding {
  readonly source: string;
  readonly code: number;
  /** What the compiler says. */
  readonly message: string;
  /** From where to where, as offsets. */
  readonly at: number;
  readonly end: number;
  /** The text there. */
  readonly text: string;
  /** The rest of its line, before and after `at`; `after` begins with `text`. */
  readonly before: string;
  readonly after: string;
  /** Where its line begins. */
  readonly lineAt: number;
  readonly known: Known;
}

/** A change of the source: the text from `start` to `end` becomes `text`. */
export interface Change {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/** What a rule says of a finding. */
export interface Said {
  readonly says: string;
  /** How the line was probably meant; all changes on one line. */
  readonly changes?: readonly Change[];
  /** Where it is, as offsets, when that is not where the compiler points. */
  readonly at?: number;
  readonly end?: number;
}

/** An entry of the table: a rule with a name of its own. Pure: from a finding to a sentence, or to nothing. */
export interface Entry {
  readonly name: string;
  say(finding: Finding): Said | undefined;
}

/** Offsets of a line and column, both counted from 1. */
export function offsetAt(source: string, line: number, column: number): number {
  let at = 0;
  for (let n = 1; n < line; n += 1) {
    const next = source.indexOf('\n', at);
    if (next < 0) return source.length;
    at = next + 1;
  }
  return Math.min(at + column - 1, source.length);
}

export function findingOf(source: string, found: Diagnostic, known: Known): Finding {
  const lines = source.split('\n');
  // What is missing at the end is told of the line after the last: it belongs to the last that says something.
  const isBeyond = found.line > lines.length || (lines[found.line - 1] ?? '').trim() === '';
  const last = source.trimEnd().length;
  const at = isBeyond
    ? Math.min(last, offsetAt(source, found.line, 1))
    : offsetAt(source, found.line, found.column);
  const end = isBeyond ? at : Math.max(at, offsetAt(source, found.endLine, found.endColumn));
  const lineAt = source.lastIndexOf('\n', at - 1) + 1;
  const lineEnd = source.indexOf('\n', at);
  const line = source.slice(lineAt, lineEnd < 0 ? undefined : lineEnd);
  return {
    source,
    code: found.code,
    message: found.message,
    at,
    end,
    text: source.slice(at, end),
    before: line.slice(0, at - lineAt),
    after: line.slice(at - lineAt),
    lineAt,
    known,
  };
}

/** The compiler does not know the word that it points to. */
export const isUnknownName = ({ code, text }: Finding): boolean =>
  [2304, 2552, 2503].includes(code) && /^[\p{L}_$][\p{L}\p{N}_$]*$/u.test(text);

/** The word stands in the place of something else, or is not known. */
export const isStrayWord = (finding: Finding, words: RegExp): boolean =>
  words.test(finding.text) && finding.code !== 2451;

/** Change the text of the finding itself. */
export const replaced = ({ at, end }: Finding, text: string): Change[] => [
  { start: at, end, text },
];

/** Change the whole line by a pattern; undefined where the pattern does not fit. */
export function rewritten(
  { before, after, lineAt }: Finding,
  pattern: RegExp,
  text: string | ((...groups: string[]) => string),
): Change[] | undefined {
  const line = before + after;
  if (!pattern.test(line)) return undefined;
  const start = lineAt;
  return [{ start, end: start + line.length, text: line.replace(pattern, text as string) }];
}

/** A name in the library or not, for a sentence about where to have it from. */
export function andImport({ known }: Finding, name: string): string {
  if (known.declared.has(name)) return '';
  return known.library().includes(name)
    ? ` Fetch it first: import { ${name} } from 'multislit';`
    : '';
}

/** The line asks for a list: `const linesAndMaxima = …   // [dark lines, weak maxima]`. */
export const asksForList = ({ source, lineAt }: Finding): boolean =>
  /\/\/\s*\[/.test(source.slice(lineAt).split('\n', 1)[0]);

/** The compiler expects a sign where it points to. */
export const expects = (finding: Finding, sign: string): boolean =>
  finding.code === 1005 && finding.message.startsWith(`'${sign}' expected`);

/** What the compiler found wrong; lines and columns of the cell, counted from 1. */
export interface Diagnostic {
  readonly message: string;
  readonly code: number;
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
  /** Another file than the cell, beside the notebook. */
  readonly file?: string;
}

/** What was probably meant, in plain words, and where; line and columns count from 1. */
export interface PlainWords {
  /** One or two sentences. */
  readonly says: string;
  /** The line as it was probably meant; left out where only its writer knows. */
  readonly instead?: string;
  readonly line: number;
  readonly column: number;
  readonly endColumn: number;
}

/** Who has another text for what plain words say: before a cell ran the compiler, while it ran the language itself. */
export type OtherText = 'compiler' | 'engine';

/** Stands between the plain words of an error and that text. */
const othersSay: Readonly<Record<OtherText, string>> = {
  compiler: 'What the compiler says:',
  engine: 'What the computer says:',
};
const perhaps = 'Perhaps: ';

/** The lines of an error that has plain words: they first, then where, then what the compiler or the engine says. */
export const wordedLines = (
  { says, instead, line, column }: Omit<PlainWords, 'endColumn'>,
  excerpt: readonly string[],
  other: readonly string[],
  from: OtherText = 'compiler',
): string[] => [
  says,
  `line ${line}, column ${column}`,
  ...excerpt,
  ...(instead === undefined ? [] : [`${perhaps}${instead.trim()}`]),
  '',
  othersSay[from],
  ...other,
];

/** What the lines of an error with plain words say: they, the corrected line, and the other text; undefined where it has none. */
export interface ReadWords {
  readonly says: string;
  readonly instead?: string;
  readonly from: OtherText;
  readonly other: string;
}

export function readWorded(lines: readonly string[]): ReadWords | undefined {
  const all = lines.flatMap((text) => text.split('\n'));
  const at = all.findIndex((line) => line === othersSay.compiler || line === othersSay.engine);
  if (at < 0) return undefined;
  const instead = all.slice(0, at).find((text) => text.startsWith(perhaps));
  return {
    says: all[0],
    ...(instead !== undefined && { instead: instead.slice(perhaps.length) }),
    from: all[at] === othersSay.engine ? 'engine' : 'compiler',
    other: all.slice(at + 1).join('\n'),
  };
}

/** A remark under a cell that runs but surely does not do what was meant: as data for the page, as text elsewhere. */
export const remarkMimeType = 'application/vnd.multislit.remark+json';

export interface Remark {
  readonly says: string;
  readonly instead?: string;
  /** Left out where it is about no line in particular. */
  readonly line?: number;
}

/** A remark as a bundle to show. */
export function remarkBundle({ says, instead, line }: Remark): Record<string, unknown> {
  const remark: Remark = {
    says,
    ...(instead !== undefined && { instead: instead.trim() }),
    ...(line !== undefined && { line }),
  };
  const where = line === undefined ? 'Remark' : `Remark on line ${line}`;
  const corrected = remark.instead === undefined ? '' : `\n${perhaps}${remark.instead}`;
  return { [remarkMimeType]: remark, 'text/plain': `${where}: ${says}${corrected}` };
}

/** The remark in a bundle, if it is a well-formed one: outputs may come from anywhere. */
export function readRemark(data: Readonly<Record<string, unknown>>): Remark | undefined {
  const remark = data[remarkMimeType] as Partial<Remark> | undefined;
  if (typeof remark !== 'object' || remark === null || typeof remark.says !== 'string')
    return undefined;
  const { says, instead, line } = remark;
  return {
    says,
    ...(typeof instead === 'string' && { instead }),
    ...(Number.isInteger(line) && { line }),
  };
}

/** Lines shown of a long text while it is folded. */
const FOLDED_LINES = 24;
/** So few lines more are not worth a button. */
const SPARE_LINES = 6;
const FOLDED_LETTERS = 8_000;
/** Lines and letters shown at most: more than this stops a browser from scrolling. */
const MOST_LINES = 4_000;
const MOST_LETTERS = 200_000;

/** Printed text of one cell that a notebook keeps; more than the kernel sends of one cell. */
export const LONGEST_STREAM = 600_000;
/** Stands at the end of a text that was cut there. */
export const NOT_KEPT = '… the rest is not kept.';

/** A text as far as it is shown. */
interface Folded {
  readonly shown: string;
  /** Whether there is more to see by opening it. */
  readonly long: boolean;
  /** Lines in all. */
  readonly lines: number;
  /** One sentence when even the opened text leaves something out; else empty. */
  readonly leftOut: string;
  /** What stands on paper in place of the rest. */
  readonly rest: string;
}

const number = (count: number) => count.toLocaleString('en').replaceAll(',', ' ');

const kept = (whole: string) =>
  whole.endsWith(NOT_KEPT)
    ? `they stay in the file, but what was printed after ${number(LONGEST_STREAM)} characters is kept nowhere.`
    : 'all of them stay in the file.';

/** Text as it stands under a cell: folded, or open up to what a browser can show. */
export function foldText(text: string, open: boolean): Folded {
  const whole = text.replace(/\n$/, '');
  const lines = whole.split('\n');
  const long = lines.length > FOLDED_LINES + SPARE_LINES || whole.length > FOLDED_LETTERS * 1.25;
  if (!long) return { shown: whole, long, lines: lines.length, leftOut: '', rest: '' };
  const cut = (most: number, letters: number) => lines.slice(0, most).join('\n').slice(0, letters);
  const shown = open ? cut(MOST_LINES, MOST_LETTERS) : cut(FOLDED_LINES, FOLDED_LETTERS);
  const left = whole.length - shown.length;
  const seen = shown.split('\n').length;
  const what =
    lines.length > seen
      ? `${number(lines.length - seen)} of ${number(lines.length)} lines`
      : `${number(left)} of ${number(whole.length)} characters`;
  return {
    shown,
    long,
    lines: lines.length,
    leftOut: open && left > 0 ? `${what} are left out here; ${kept(whole)}` : '',
    rest: left > 0 ? `… ${what} are not shown.` : '',
  };
}

// biome-ignore lint/suspicious/noControlCharactersInRegex: terminals' colour codes begin with the escape character
const colourCodes = /\u001b\[[0-9;]*[A-Za-z]/g;

/** Text without terminal colours; what a carriage return overwrote is dropped. */
export function plainText(text: string): string {
  return text
    .replace(colourCodes, '')
    .replace(/\r\n/g, '\n')
    .replace(/^.*\r(?!$)/gm, '');
}

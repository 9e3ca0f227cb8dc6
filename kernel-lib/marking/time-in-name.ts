import { readMoment } from './moment';

/** Letters of a pattern: year, month, day, hour, minute, second. */
const letters = ['YYYY', 'MM', 'DD', 'hh', 'mm', 'ss'] as const;
type Letter = (typeof letters)[number];

/** Finds the time in a file's name. */
export type TimeInName = (name: string, zone: string) => number | undefined;

/**
 * A pattern for the times that a course system writes into the names of files, such as `YYYY-MM-DD_hh-mm-ss`: these
 * letters stand for digits, everything else for itself. Without hours the day's first moment is taken.
 *
 * @throws RangeError when year, month or day is missing, or something stands twice
 * @example timeInName('DD.MM.YYYY hhmm')('204117 04.12.2026 1830 sheet.ipynb', 'UTC') // 1796409000000
 */
export function timeInName(pattern: string): TimeInName {
  const found: Letter[] = [];
  const source = pattern.replace(/YYYY|MM|DD|hh|mm|ss|[\s\S]/g, (part) => {
    const letter = letters.find((one) => one === part);
    if (!letter) return part.replace(/[\\^$.*+?()[\]{}|/-]/g, '\\$&');
    found.push(letter);
    return letter === 'YYYY' ? '(\\d{4})' : '(\\d{2})';
  });
  const lacks = letters.slice(0, 3).filter((letter) => !found.includes(letter));
  const hasMinutes = found.includes('mm') === found.includes('hh');
  if (lacks.length > 0 || new Set(found).size !== found.length || !hasMinutes)
    throw new RangeError(
      `"${pattern}" is no pattern for times: YYYY, MM and DD, each once, and hh with mm where hours are told, were expected, such as YYYY-MM-DD_hh-mm.`,
    );
  const form = new RegExp(`(?<!\\d)${source}(?!\\d)`, 'g');
  return (name, zone) => {
    // The latest of several: nobody gains by an earlier time in the name of their own file.
    const times = [...name.matchAll(form)].flatMap((match) => {
      const at = (letter: Letter, otherwise: string) =>
        found.includes(letter) ? match[1 + found.indexOf(letter)] : otherwise;
      const day = `${at('YYYY', '')}-${at('MM', '')}-${at('DD', '')}`;
      const clock = `${at('hh', '00')}:${at('mm', '00')}:${at('ss', '00')}`;
      return readMoment(`${day}T${clock}`, zone)?.time ?? [];
    });
    return times.length === 0 ? undefined : Math.max(...times);
  };
}

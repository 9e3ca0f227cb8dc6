import { applyEdits } from '../../cell-code';
import type { Diagnostic, PlainWords } from '../../plain-words';
import { refusedCode } from '../cell-source';
import { type Entry, type Finding, findingOf, type Known, type Said } from './finding';
import { gapEntries } from './gaps';
import { kindEntries } from './kinds';
import { listEntries } from './lists';
import { memberEntries } from './members';
import { nameEntries } from './names';
import { numberEntries } from './numbers';
import { languageEntries } from './other-languages';
import { signEntries } from './signs';

/** The table of plain words over what the compiler says; the first entry that knows a finding speaks. */
export const entries: readonly Entry[] = [
  ...signEntries,
  ...numberEntries,
  ...listEntries,
  ...languageEntries,
  ...gapEntries,
  ...kindEntries,
  ...memberEntries,
  ...nameEntries,
];

interface Worded extends PlainWords {
  /** The name of the entry that spoke. */
  readonly entry: string;
}

/** Below this, the compiler could not even read the text. */
const ofReading = (code: number) => code < 2000 || code === 17006;

/**
 * What was probably meant by a cell that the compiler refuses, or undefined where that cannot be said. A pure function:
 * of several findings those on the line of the first are looked at, for the others often only follow from it.
 */
export function wordsFor(
  source: string,
  diagnostics: readonly Diagnostic[],
  known: Known,
): Worded | undefined {
  const own = diagnostics.filter(({ file }) => file === undefined);
  const first = own.find(({ code }) => ofReading(code)) ?? own[0];
  // Those of our own are plain already.
  if (!first || own.some(({ code }) => code === refusedCode)) return undefined;
  const findings = own
    .filter(({ line }) => line === first.line)
    .sort((one, other) => Number(ofReading(other.code)) - Number(ofReading(one.code)))
    .map((found) => findingOf(source, found, known));
  const isUnread = ofReading(first.code);
  for (const entry of entries)
    for (const finding of findings) {
      // Where a line could not be read, what its names mean is not known either.
      if (isUnread && finding.code >= 2000 && nameEntries.includes(entry)) continue;
      const said = entry.say(finding);
      if (said) return { entry: entry.name, ...placed(finding, said) };
    }
  return undefined;
}

function placed(finding: Finding, { says, changes, at, end }: Said): PlainWords {
  const { source } = finding;
  const from = at ?? finding.at;
  const to = at === undefined ? finding.end : (end ?? at);
  const lineAt = source.lastIndexOf('\n', from - 1) + 1;
  const before = source.slice(0, from);
  const lineEnd = source.indexOf('\n', from);
  const stop = Math.min(to, lineEnd < 0 ? source.length : lineEnd);
  const instead = changes && changedLine(source, changes);
  return {
    says,
    // A line that is to go away altogether is told by the sentence.
    ...(instead?.trim() && { instead }),
    line: before.split('\n').length,
    column: from - lineAt + 1,
    endColumn: Math.max(stop, from + 1) - lineAt + 1,
  };
}

/** The line that the changes are on, as it is after them; undefined where nothing is left of it to be shown. */
function changedLine(source: string, changes: NonNullable<Said['changes']>): string | undefined {
  const [first] = changes;
  if (!first) return undefined;
  const start = source.lastIndexOf('\n', first.start - 1) + 1;
  const found = source.indexOf('\n', first.start);
  const end = found < 0 ? source.length : found;
  const inLine = changes.map((one) => ({ ...one, start: one.start - start, end: one.end - start }));
  const { text } = applyEdits(source.slice(start, end), inLine);
  return text.trim() === '' ? undefined : text;
}

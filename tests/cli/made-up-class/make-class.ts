import { withStudentNumber } from '../../../kernel-lib/notebook/notebook';
import { writeNotebook } from '../../../kernel-lib/notebook/write-notebook';
import { type Random, seeded } from '../../../kernel-lib/numerics/random';
import { keyOf } from '../class-for-test';
import { brokenFile } from './broken-files';
import { endlessReturn, type MadeReturn, mixedReturn, peculiarReturn } from './notebooks';
import { handInAt, labelOf, somewhere } from './places';
import { indexOf, type Place } from './plan';
import { savedText, withoutNumber, withRemark } from './saved';
import { type ClassTruth, dueAt, type ReturnTruth } from './truth';

const hour = 3_600_000;
const day = 24 * hour;

/** A time of handing in: most are in time, some up to four days late. */
function handedIn(random: Random): { time: number; startedDays: number } {
  if (random.uniform() < 0.8)
    return { time: dueAt - hour * (1 + 200 * random.uniform()), startedDays: 0 };
  const startedDays = 1 + random.whole(4);
  return { time: dueAt + day * (startedDays - 0.95 + 0.9 * random.uniform()), startedDays };
}

function madeReturn({ kind, sheet, student, other }: Place): MadeReturn {
  if (kind === 'never ends') return endlessReturn(sheet, student);
  if (kind !== 'copied') return mixedReturn(sheet, student, 'answers');
  return peculiarReturn(sheet, student, [student, other].sort().join(' '));
}

/**
 * Write the returns of invented students into a folder: right, by slips, wrong, blank, failing, late, broken, copied,
 * twice, named and nested in odd ways. The same places give the same files.
 *
 * @returns what marking must find, written down as each file was made
 */
export function makeClass(folder: string, places: readonly Place[]): ClassTruth {
  const returns = new Map<string, ReturnTruth>();
  const aside = new Map<string, string>();
  const copied = new Set<string>();
  const students = [...new Set(places.flatMap((place) => numbersIn(place)))].sort();
  const roster = students.map((student) => ({ student, extraDays: extraDays(student) }));

  function write(place: Place): void {
    const { sheet, student, other, kind } = place;
    if (kind === 'missing') return;
    const random = seeded(`handing in/${sheet}/${student}`);
    const { time, startedDays } = handedIn(random);
    const made = madeReturn(place);
    const broken = brokenFile(kind, writeNotebook(made.notebook), random);
    if (broken) {
      const nobody = kind === 'nobody’s';
      const content = nobody
        ? writeNotebook(withStudentNumber(made.notebook, '999999'))
        : broken.content;
      const [path] = somewhere(student, sheet, random, { inFolder: 'first try', plain: true });
      const named = nobody ? path.replaceAll(student, `nobody-${indexOf(student)}`) : path;
      const at = `${named}${broken.ending ?? ''}`;
      handInAt(folder, [at], content, time - hour);
      for (const [entry, outcome] of broken.outcomes) aside.set(`${at}${entry}`, outcome);
      if (kind !== 'broken, then whole') return;
    }
    const isInName = kind === 'number in the name only';
    const notebook = isInName ? withoutNumber(made.notebook, random) : made.notebook;
    const text = savedText(notebook, random);
    if (kind === 'handed in twice' || kind === 'same again') {
      const { notebook: tried } = mixedReturn(sheet, student, 'an earlier try');
      const first = withRemark(tried, 'a first try');
      const parts = somewhere(student, sheet, random, { inFolder: 'first try' });
      handInAt(folder, parts, kind === 'same again' ? text : writeNotebook(first), time - 2 * hour);
      aside.set(labelOf(parts), kind === 'same again' ? 'same again' : 'earlier return');
    }
    const isNamed = kind === 'named as another';
    const parts = somewhere(isNamed ? other : student, sheet, random, {
      inFolder: isNamed ? 'given to me' : '',
    });
    handInAt(folder, parts, text, time);
    if (kind === 'copied') copied.add(`${sheet} ${[student, other].sort().join(' ')}`);
    returns.set(`${sheet} ${student}`, {
      student,
      sheet,
      path: labelOf(parts),
      daysLate: Math.max(0, startedDays - extraDays(student)),
      isNoted: isInName || isNamed,
      questions: made.questions,
    });
  }

  for (const place of places) {
    if (!keyOf(place.sheet)) throw new Error(`${place.sheet} has no key`);
    write(place);
  }
  return { roster, returns, aside, copied: [...copied].sort() };
}

const numbersIn = ({ student, other, kind }: Place) =>
  kind === 'named as another' ? [student, other] : [student];

/** A few students were granted two days. */
const extraDays = (student: string) => (Number(student) % 25 === 0 ? 2 : 0);

export const rosterText = ({ roster }: ClassTruth): string =>
  [
    'student,extra days',
    ...roster.map(({ student, extraDays: days }) => `${student},${days}`),
    '',
  ].join('\n');

import { counted } from '../../figures/shown';
import type { ClassData, SheetOfClass } from '../class-data';
import { toDiscuss } from '../class-whole';
import { clockSaid } from '../moment';
import { toLookAt } from '../record';
import type { SimilarityCluster } from '../similarity';
import { type Drawn, marksChart, type Spread, spreadChart, timesChart } from './class-charts';
import { escaped, page, table } from './html';

/** What the report says beyond marks. */
export interface ClassReport {
  readonly data: ClassData;
  readonly lockDown: string;
  readonly deadline?: number;
  /** By whose clocks times are told. */
  readonly zone: string;
  readonly spreads: ReadonlyMap<string, readonly Spread[]>;
  readonly alike: readonly (SimilarityCluster & { readonly sheet: string })[];
  /** Files that are not marked, or passed over for another. */
  readonly aside: readonly {
    readonly path: string;
    readonly reason: string;
    readonly why: string;
  }[];
}

const two = (value: number | null) => (value === null ? '–' : value.toFixed(2));

const figure = (chart: Drawn | undefined, caption: string): string[] =>
  chart
    ? [
        `<figure>${chart.svg}<figcaption>${escaped(caption)} ${escaped(chart.alt)}</figcaption></figure>`,
      ]
    : [];

const mostNamed = 40;

/** Such as `1001, 1002 and 1003`. */
function studentsSaid({ students }: SimilarityCluster): string {
  const named = students.slice(0, mostNamed);
  const more = students.length - named.length;
  const last = more > 0 ? `${more} more` : named.pop();
  return `${named.join(', ')} and ${last}`;
}

function sharedSaid({ passages, numbers, names }: SimilarityCluster): string {
  const parts = [
    ...(passages > 0 ? [counted(passages, 'passage')] : []),
    ...(names.length > 0 ? [`own names: ${names.join(', ')}`] : []),
    ...(numbers.length > 0 ? [`digits of odd numbers: ${numbers.join(', ')}`] : []),
  ];
  return parts.join('; ');
}

/** One page on the whole class, for the instructor: it holds what students should not see. */
export function classPage(report: ClassReport): string {
  const { data, lockDown, deadline, zone, spreads, alike, aside } = report;
  const returns = data.sheets.reduce((sum, sheet) => sum + sheet.returns, 0);
  const discuss = toDiscuss(data.sheets);
  const changes = data.students.flatMap(({ student, sheets }) =>
    sheets.flatMap(({ questions }) =>
      questions.flatMap(({ question, marks, changed }) =>
        changed ? [[student, question, changed.from ?? '–', marks, changed.reason]] : [],
      ),
    ),
  );
  const looks = data.students.flatMap(({ student, sheets }) =>
    sheets.flatMap((one) =>
      toLookAt(one).length === 0 ? [] : [[student, one.sheet, toLookAt(one).join(' '), one.path]],
    ),
  );
  return page('Marks of the class', [
    '<h1>Marks of the class</h1>',
    `<p>${counted(data.students.length, 'student')}, ${counted(returns, 'return')} marked. Students’ code ran ${escaped(lockDown)}. For instructors only.</p>`,
    ...figure(timesChart(data.students, deadline), 'When returns came in.'),
    ...timesPart(data, zone),
    '<h2>Worth a word in class</h2>',
    discuss.length > 0
      ? table(
          ['question', 'asks', 'why'],
          discuss.map(({ question, asks, why }) => [question, asks, why]),
        )
      : '<p>Nothing stands out.</p>',
    ...data.sheets.map((sheet) => sheetPart(sheet, data, spreads.get(sheet.sheet) ?? [])),
    '<h2>Marks changed by a person</h2>',
    changes.length > 0
      ? table(['student', 'question', 'was', 'is', 'reason'], changes, [2, 3])
      : '<p>None.</p>',
    '<h2>Answers that are alike</h2>',
    '<p>Groups that share much which hardly anyone else wrote; what the sheet gave does not count. People who worked together, or had the same help, show up here too: it proves nothing. Marks are not touched.</p>',
    alike.length > 0
      ? table(
          ['sheet', 'students', 'what they share'],
          alike.map((one) => [one.sheet, studentsSaid(one), sharedSaid(one)]),
        )
      : '<p>None.</p>',
    '<h2>Returns to look at</h2>',
    looks.length > 0 ? table(['student', 'sheet', 'what', 'file'], looks) : '<p>None.</p>',
    '<h2>Files that do not count</h2>',
    aside.length > 0
      ? table(
          ['file', 'outcome', 'why'],
          aside.map(({ path, reason, why }) => [path, reason, why]),
        )
      : '<p>None.</p>',
    '<h2>How the figures are made</h2>',
    '<p class="soft">Facility: mean mark over the mark that could be earned, 0 to 1; near 1 is easy. Discrimination: Pearson’s correlation, Σ(x−x̄)(y−ȳ)/√(Σ(x−x̄)² Σ(y−ȳ)²), of the marks for the question with the marks for all other questions of the sheet, −1 to 1; near 0, those who do well elsewhere do no better here. Both are common practice in the analysis of tests. Small classes make both uncertain.</p>',
  ]);
}

/** Times in doubt that would cost marks, by their reason. */
function timesPart({ students }: ClassData, zone: string): string[] {
  const held = students.flatMap(({ student, sheets }) =>
    sheets.flatMap(({ sheet, held: why, daysLate, time }) =>
      why === undefined
        ? []
        : [[student, sheet, daysLate, time === null ? '' : clockSaid(Date.parse(time), zone), why]],
    ),
  );
  if (held.length === 0) return [];
  return [
    '<h2>Late by a time that is in doubt</h2>',
    '<p>Nothing was deducted for these. Give --times a table of your course system, or say --believe-times.</p>',
    table(['student', 'sheet', 'days late', 'time', 'why in doubt'], held, [2]),
  ];
}

function sheetPart(sheet: SheetOfClass, data: ClassData, spreads: readonly Spread[]): string {
  const { title, returns, questions } = sheet;
  if (returns === 0) return `<h2>${escaped(title)}</h2>\n<p>No returns.</p>`;
  const slips = questions.flatMap(({ question, slips: own }) =>
    own.slice(0, 3).map(({ slip, count, hint }) => [question, slip, count, hint] as const),
  );
  return [
    `<h2>${escaped(title)}</h2>`,
    `<p>${counted(returns, 'return')}.</p>`,
    ...figure(marksChart(sheet, data.students), 'Marks.'),
    table(
      ['', 'question', 'marks', 'facility', 'discrimination', 'to be read'],
      questions.map(({ question, asks, outOf, facility, discrimination, toRead }) => [
        question,
        asks,
        outOf,
        toRead > 0 ? '–' : two(facility),
        toRead > 0 ? '–' : two(discrimination),
        toRead || '',
      ]),
      [2, 3, 4, 5],
    ),
    ...(slips.length > 0
      ? [
          '<h3>Commonest slips</h3>',
          table(['', 'slip', 'students', 'hint that was given'], slips, [2]),
        ]
      : []),
    ...figure(spreadChart(spreads), 'How far numbers lie from what was expected.'),
  ].join('\n');
}

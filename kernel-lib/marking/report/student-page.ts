import { counted as howMany, listed } from '../../figures/shown';
import { changeSaid } from '../changed-marks';
import type { ClassData, SheetOfStudent, StudentOfClass } from '../class-data';
import type { QuestionMark } from '../judge-return';
import { clockSaid } from '../moment';
import { metWord, moreAsTyped, verdictWord } from '../record';
import { escaped, page } from './html';
import type { CellsOfQuestion, ModelAnswer } from './solutions';

const looks = { agrees: '', 'not yet': ' not', 'to be read': ' read' } as const;

/** What stands beside the marks of one student, by sheet. */
export interface BesideMarks {
  /** What the student did for each question. */
  readonly working?: ReadonlyMap<string, readonly CellsOfQuestion[]>;
  /** Model answers with the student's own numbers, where they are given by now. */
  readonly model?: ReadonlyMap<string, readonly ModelAnswer[]>;
  /** What each student's sheet tells of the numbers in it, a line each; given with the model answers. */
  readonly given?: ReadonlyMap<string, readonly string[]>;
}

/**
 * What one student gets back: each question with its mark, the reason, and what was read.
 *
 * @param zone by whose clocks times are told
 * @param beside nothing unless given
 */
export function studentPage(
  { student, total, sheets, missing, refused = [] }: StudentOfClass,
  data: ClassData,
  zone: string,
  { working, model, given }: BesideMarks = {},
): string {
  const titles = new Map(data.sheets.map(({ sheet, title }) => [sheet, title]));
  const outOf = data.sheets.reduce((sum, sheet) => sum + sheet.outOf, 0);
  const waits = sheets.reduce((sum, { toRead }) => sum + toRead, 0);
  return page(`Marks of student ${student}`, [
    `<h1>Student ${escaped(student)}</h1>`,
    `<p>${total} of ${outOf} marks${waits > 0 ? `; ${waits} more wait to be read by a person` : ''}.</p>`,
    ...sheets.map((sheet) =>
      sheetPart(sheet, titles.get(sheet.sheet) ?? sheet.sheet, zone, {
        working: new Map(working?.get(sheet.sheet)?.map((one) => [one.question, one])),
        model: new Map(model?.get(sheet.sheet)?.map((one) => [one.question, one])),
        given: given?.get(sheet.sheet) ?? [],
      }),
    ),
    ...(missing.length > 0
      ? [
          `<h2>Not handed in</h2>\n<p>${missing.map((name) => escaped(titles.get(name) ?? name)).join(', ')}</p>`,
        ]
      : []),
    ...(refused.length > 0
      ? [
          '<h2>Files that could not be marked</h2>',
          `<ul>${refused.map(({ path, why }) => `<li><code>${escaped(path)}</code>: ${escaped(why)}</li>`).join('')}</ul>`,
        ]
      : []),
    '<p class="soft">A program marked this, except where it says that a person did. Where you think it is wrong, ask: a person decides.</p>',
  ]);
}

interface BesideQuestions {
  readonly working: ReadonlyMap<string, CellsOfQuestion>;
  readonly model: ReadonlyMap<string, ModelAnswer>;
  readonly given: readonly string[];
}

function sheetPart(
  sheet: SheetOfStudent,
  title: string,
  zone: string,
  beside: BesideQuestions,
): string {
  const {
    marks,
    counted,
    outOf,
    daysLate,
    held,
    again,
    timeFrom,
    typed,
    note,
    failure,
    failures,
    path,
    time,
    others = [],
  } = sheet;
  const more = moreAsTyped(sheet);
  const late =
    daysLate > 0
      ? ` Handed in ${howMany(daysLate, 'day')} late${held === undefined ? `: ${counted} count.` : ', if the time is right; so far nothing is deducted.'}`
      : '';
  const round = again
    ? ` Handed in again, in round ${again.round}: at most ${again.most} marks can count, and ${counted} do.`
    : '';
  const from = `${path}${time === null ? '' : `, ${timeFrom === 'table' || timeFrom === 'name' ? 'handed in' : 'saved'} ${clockSaid(Date.parse(time), zone)}`}`;
  return [
    `<h2>${escaped(title)}</h2>`,
    `<p>${marks} of ${outOf} marks.${late}${round} <span class="soft">${escaped(from)}</span></p>`,
    ...(beside.given.length > 0
      ? [`<p class="soft">The numbers in it: ${escaped(beside.given.join('; '))}.</p>`]
      : []),
    ...(failure === undefined
      ? []
      : [`<p><strong>The sheet did not run.</strong> ${escaped(failure)}</p>`]),
    ...(note === undefined ? [] : [`<p>${escaped(note)}</p>`]),
    ...(typed === undefined || more.length === 0
      ? []
      : [
          `<p>With the number ${escaped(typed.number)} that stands in the notebook, ${listed(more.map(({ question }) => question))} would have more marks. A person decides.</p>`,
        ]),
    ...others.map(
      (one) => `<p class="soft">Also handed in: ${escaped(one.path)}. ${escaped(one.why)}</p>`,
    ),
    ...sheet.questions.map((mark) => questionPart(mark, beside)),
    ...(failures.length > 0
      ? [
          '<h3>Other cells that failed</h3>',
          `<ul>${failures.map(({ id, line, name, message }) => `<li><code>${escaped(id)}</code>${line === undefined ? '' : `, line ${line}`}: ${escaped(name)}: ${escaped(message)}</li>`).join('')}</ul>`,
        ]
      : []),
  ].join('\n');
}

/** What of the mark scheme was met: each line with its word, and a shape beside it. */
const ticksPart = (ticks: NonNullable<QuestionMark['ticks']>) =>
  `<ul class="ticks">${ticks
    .map(
      (tick) =>
        `<li class="${metWord(tick).replace(' ', '-')}"><b>${metWord(tick)}</b>, ${tick.marks} of ${tick.outOf}: ${escaped(tick.point)}</li>`,
    )
    .join('')}</ul>`;

/** Shown when it is asked for; students' text and ours alike only as text. */
function fold(title: string, cells: CellsOfQuestion['cells'], lead = ''): string {
  const parts = cells.map(
    ({ is, source }) => `<pre${is === 'text' ? ' class="text"' : ''}>${escaped(source)}</pre>`,
  );
  return `<details><summary>${title}</summary>${lead}${parts.join('')}</details>`;
}

function questionPart(mark: QuestionMark, { working, model }: BesideQuestions): string {
  const { question, asks, state, marks, outOf, message, remark, changed, shown, ticks } = mark;
  const said = changed
    ? `${escaped(changeSaid(marks, changed))}<br><span class="soft">Before that: ${escaped(message)}</span>`
    : `${escaped(`${verdictWord(mark)} ${message}`.trim())}${ticks ? ticksPart(ticks) : ''}${remark === undefined ? '' : `<br><q>${escaped(remark)}</q>`}`;
  const read =
    shown === undefined || state === 'agrees' || message.includes(shown)
      ? ''
      : `<br><span class="soft">What was read: ${escaped(shown)}</span>`;
  const work = working.get(question);
  const answer = model.get(question);
  const expected = answer?.expected;
  const asModel =
    answer &&
    (expected !== undefined || answer.cells.length > 0) &&
    fold(
      'A model answer, with your numbers',
      answer.cells,
      expected === undefined ? '' : `<p>Expected: ${escaped(expected)}</p>`,
    );
  const folds = `${work ? fold('Your working', work.cells) : ''}${asModel ?? ''}`;
  return `<div class="question"><div class="number">${escaped(question)}</div><div class="said${looks[state]}"><b>${escaped(asks)}.</b> ${said}${read}${folds}</div><div class="mark">${state === 'to be read' ? '–' : marks} of ${outOf}</div></div>`;
}

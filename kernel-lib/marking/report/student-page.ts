import { counted as howMany, listed } from '../../figures/shown';
import { changeSaid } from '../changed-marks';
import type { ClassData, SheetOfStudent, StudentOfClass } from '../class-data';
import type { QuestionMark } from '../judge-return';
import { clockSaid } from '../moment';
import { metWord, moreAsTyped, verdictWord } from '../record';
import { escaped, page } from './html';

const looks = { agrees: '', 'not yet': ' not', 'to be read': ' read' } as const;

/**
 * What one student gets back: each question with its mark, the reason, and what was read.
 *
 * @param zone by whose clocks times are told
 */
export function studentPage(
  { student, total, sheets, missing, refused = [] }: StudentOfClass,
  data: ClassData,
  zone: string,
): string {
  const titles = new Map(data.sheets.map(({ sheet, title }) => [sheet, title]));
  const outOf = data.sheets.reduce((sum, sheet) => sum + sheet.outOf, 0);
  const waits = sheets.reduce((sum, { toRead }) => sum + toRead, 0);
  return page(`Marks of student ${student}`, [
    `<h1>Student ${escaped(student)}</h1>`,
    `<p>${total} of ${outOf} marks${waits > 0 ? `; ${waits} more wait to be read by a person` : ''}.</p>`,
    ...sheets.map((sheet) => sheetPart(sheet, titles.get(sheet.sheet) ?? sheet.sheet, zone)),
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

function sheetPart(sheet: SheetOfStudent, title: string, zone: string): string {
  const {
    marks,
    counted,
    outOf,
    daysLate,
    held,
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
  const from = `${path}${time === null ? '' : `, ${timeFrom === 'table' || timeFrom === 'name' ? 'handed in' : 'saved'} ${clockSaid(Date.parse(time), zone)}`}`;
  return [
    `<h2>${escaped(title)}</h2>`,
    `<p>${marks} of ${outOf} marks.${late} <span class="soft">${escaped(from)}</span></p>`,
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
    ...sheet.questions.map(questionPart),
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

function questionPart(mark: QuestionMark): string {
  const { question, asks, state, marks, outOf, message, remark, changed, ticks } = mark;
  const said = changed
    ? `${escaped(changeSaid(marks, changed))}<br><span class="soft">Before that: ${escaped(message)}</span>`
    : `${escaped(`${verdictWord(mark)} ${message}`.trim())}${ticks ? ticksPart(ticks) : ''}${remark === undefined ? '' : `<br><q>${escaped(remark)}</q>`}`;
  return `<div class="question"><div class="number">${escaped(question)}</div><div class="said${looks[state]}"><b>${escaped(asks)}.</b> ${said}</div><div class="mark">${state === 'to be read' ? '–' : marks} of ${outOf}</div></div>`;
}

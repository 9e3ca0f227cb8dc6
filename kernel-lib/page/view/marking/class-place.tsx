import { useEffect, useMemo, useState } from 'preact/hooks';
import {
  asOfClass,
  classWhole,
  type QuestionWhole,
  type RatiosTold,
  type Share,
  type SheetWhole,
  shares,
  toDiscuss,
  type WholeTold,
} from '../../../marking/class-whole';
import type { LookedThrough } from '../../../marking/looked-through';
import type { CellPair, SideBySide, SideOfPair } from '../../../marking/side-by-side';
import { ask } from './ask';
import { type Discussed, Projected } from './discuss';
import { type GridFilter, noFilter } from './grid-filter';

interface PlaceProps {
  looked: LookedThrough;
  names: ReadonlyMap<string, string>;
  /** Show these answers in the table. */
  onAsk: (filter: GridFilter) => void;
}

type Ask = (students: readonly string[], said: string, question?: string) => void;

/** The class as a whole: how questions and sheets did, who fell into what, who wrote alike, and what to speak about. */
export function ClassPlace({ looked, names, onAsk }: PlaceProps) {
  const { grid, folder } = looked;
  const all = useMemo(() => classWhole(grid).filter(({ marks }) => marks.length > 0), [grid]);
  const [chosen, setChosen] = useState(all[0]?.sheet ?? '');
  const [told, setTold] = useState<WholeTold>();
  const [fault, setFault] = useState('');
  useEffect(() => {
    ask.whole(folder).then(setTold, (error: Error) => setFault(error.message));
  }, [folder, looked.markedAt]);
  const sheet = all.find((one) => one.sheet === chosen) ?? all[0];
  if (!sheet) return <p class="paper class-whole">Nothing has come back yet.</p>;
  const toTable: Ask = (students, said, question = '') =>
    onAsk({
      ...noFilter,
      sheet: sheet.sheet,
      question: question && `${sheet.sheet} ${question}`,
      among: { said, students },
    });
  return (
    <div class="class-whole">
      {fault && (
        <p class="notice" role="alert">
          {fault}
        </p>
      )}
      <Sheets all={all} chosen={sheet.sheet} onChoose={setChosen} />
      <section class="paper">
        <h2>{sheet.title}</h2>
        <p class="soft">
          Each bar and each dot leads to its answers in the table.
          {sheet.waits > 0 &&
            ` ${sheet.waits} ${sheet.waits === 1 ? 'answer waits' : 'answers wait'} for a reader; marks are without them.`}
        </p>
        <div class="plots">
          <MarksPlot sheet={sheet} onAsk={toTable} />
          <FacilityPlot
            sheet={sheet}
            onAsk={(question) =>
              onAsk({
                ...noFilter,
                sheet: sheet.sheet,
                question: `${sheet.sheet} ${question}`,
              })
            }
          />
        </div>
        <Questions sheet={sheet} hints={told?.hints ?? {}} onAsk={toTable} />
        <Ratios key={sheet.sheet} folder={folder} sheet={sheet} onAsk={toTable} />
      </section>
      {told && <Discuss all={all} told={told} />}
      {told && <Alike folder={folder} told={told} all={all} names={names} />}
      <section class="paper">
        <h2>How the figures are made</h2>
        <p class="soft">
          Facility: mean mark over the mark that could be earned, 0 to 1; near 1 is easy.
          Discrimination of a question: the item–rest correlation, Pearson’s r =
          Σ(x−x̄)(y−ȳ)/√(Σ(x−x̄)² Σ(y−ȳ)²), of its marks x with the marks y for all other questions of
          the sheet that are judged for everybody; of a sheet: the same with the marks for all other
          sheets. Near 0, those who do well elsewhere do no better here. Spread: standard deviation
          with n − 1; quartiles by linear interpolation between ranks. All of it is common practice
          in the analysis of tests, no source. Answers that wait for a reader are left out; marks
          are those before any deduction for days late. Small classes make all of it uncertain.
        </p>
      </section>
    </div>
  );
}

const two = (value: number | null) => (value === null ? '–' : value.toFixed(2).replace('-', '−'));
const one = (value: number) => String(Math.round(10 * value) / 10);
const students = (count: number) => (count === 1 ? '1 student' : `${count} students`);

interface SheetsProps {
  all: readonly SheetWhole[];
  chosen: string;
  onChoose: (sheet: string) => void;
}

function Sheets({ all, chosen, onChoose }: SheetsProps) {
  return (
    <section class="paper">
      <h2>Sheets</h2>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: where it is too wide it scrolls, and the keyboard must reach it */}
      <section class="wide-table" tabIndex={0} aria-label="Sheets">
        <table>
          <thead>
            <tr>
              <th scope="col">sheet</th>
              <th scope="col">returns</th>
              <th scope="col">mean of</th>
              <th scope="col">facility</th>
              <th scope="col">lowest, quartiles, highest</th>
              <th scope="col">standard deviation</th>
              <th scope="col">discrimination</th>
            </tr>
          </thead>
          <tbody>
            {all.map(({ sheet, title, outOf, marks, waits, spread, facility, discrimination }) => (
              <tr key={sheet}>
                <th scope="row">
                  <button
                    type="button"
                    class="quiet"
                    aria-pressed={sheet === chosen}
                    onClick={() => onChoose(sheet)}
                  >
                    {title}
                  </button>
                  {sheet === chosen && <span class="soft"> below</span>}
                </th>
                <td>{marks.length}</td>
                <td>{spread && `${one(spread.mean)}${waits > 0 ? ' + …' : ''} of ${outOf}`}</td>
                <td>{two(facility)}</td>
                <td>
                  {spread &&
                    [
                      spread.lowest,
                      spread.quarter,
                      spread.median,
                      spread.threeQuarters,
                      spread.highest,
                    ]
                      .map(one)
                      .join(' · ')}
                </td>
                <td>{spread && one(spread.deviation)}</td>
                <td>{two(discrimination)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </section>
  );
}

const mostBars = 24;

/** How many have how many marks. */
function MarksPlot({ sheet, onAsk }: { sheet: SheetWhole; onAsk: Ask }) {
  const { outOf, marks } = sheet;
  const width = Math.max(1, Math.ceil((outOf + 1) / mostBars));
  const bars = Array.from({ length: Math.ceil((outOf + 1) / width) }, (_, i) => {
    const [from, to] = [i * width, Math.min(outOf, (i + 1) * width - 1)];
    const own = marks.filter((other) => {
      const whole = Math.min(outOf, Math.floor(other.marks));
      return whole >= from && whole <= to;
    });
    return { said: from === to ? `${from}` : `${from} to ${to}`, own };
  });
  const most = Math.max(...bars.map(({ own }) => own.length));
  return (
    <figure class="plot">
      <figcaption>marks of {outOf}, students</figcaption>
      <div class="bars" style={`--bars:${bars.length}`}>
        {bars.map(({ said, own }, i) => (
          <div key={said} class="bar">
            {own.length > 0 && (
              <button
                type="button"
                style={`height:${(100 * own.length) / most}%`}
                aria-label={`${said} marks: ${students(own.length)}`}
                onClick={() =>
                  onAsk(
                    own.map(({ student }) => student),
                    `${said} of ${outOf} marks for ${sheet.title}`,
                  )
                }
              >
                <span>{own.length}</span>
              </button>
            )}
            <i aria-hidden="true">{bars.length <= 13 || i % 2 === 0 ? said.split(' ')[0] : ''}</i>
          </div>
        ))}
      </div>
    </figure>
  );
}

const heightOf = (discrimination: number) => (Math.max(-0.5, discrimination) + 0.5) / 1.5;

/** Dots that would lie on one another are moved apart, upwards. */
function apart<Dot extends { readonly facility: number; readonly at: number }>(
  dots: readonly Dot[],
): Dot[] {
  const placed: Dot[] = [];
  for (const dot of [...dots].sort((a, b) => a.at - b.at)) {
    let { at } = dot;
    for (const under of placed)
      if (Math.abs(under.facility - dot.facility) < 0.1 && Math.abs(under.at - at) < 0.13)
        at = under.at + 0.13;
    placed.push({ ...dot, at });
  }
  return placed;
}

/** Each question by how easy it was and how well it told students apart. */
function FacilityPlot({ sheet, onAsk }: { sheet: SheetWhole; onAsk: (question: string) => void }) {
  const dots = apart(
    sheet.questions.flatMap(({ question, asks, facility, discrimination }) =>
      facility === null || discrimination === null
        ? []
        : [{ question, asks, facility, discrimination, at: heightOf(discrimination) }],
    ),
  );
  return (
    <figure class="plot">
      <figcaption>discrimination (up) against facility (to the right)</figcaption>
      <div class="field">
        <i class="zero" aria-hidden="true" />
        {[0, 0.5, 1].map((x) => (
          <i key={`x${x}`} class="x" style={`left:${100 * x}%`} aria-hidden="true">
            {x}
          </i>
        ))}
        {[-0.5, 0, 0.5, 1].map((y) => (
          <i key={`y${y}`} class="y" style={`bottom:${100 * heightOf(y)}%`} aria-hidden="true">
            {two(y).replace(/0$/, '')}
          </i>
        ))}
        {dots.map(({ question, asks, facility, discrimination, at }) => (
          <button
            key={question}
            type="button"
            style={`left:${100 * facility}%;bottom:${100 * at}%`}
            title={asks}
            aria-label={`${question} ${asks}: facility ${two(facility)}, discrimination ${two(discrimination)}`}
            onClick={() => onAsk(question)}
          >
            {question}
          </button>
        ))}
        {dots.length === 0 && <p class="soft">Too few answers that differ.</p>}
      </div>
    </figure>
  );
}

const shareWords: Readonly<Record<Share, string>> = {
  all: 'all marks',
  some: 'some',
  none: 'no marks',
  waits: 'waits',
};

interface QuestionsProps {
  sheet: SheetWhole;
  hints: WholeTold['hints'];
  onAsk: Ask;
}

function Questions({ sheet, hints, onAsk }: QuestionsProps) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: where it is too wide it scrolls, and the keyboard must reach it
    <section class="wide-table" tabIndex={0} aria-label="Questions">
      <table class="of-questions">
        <thead>
          <tr>
            <th scope="col">question</th>
            <th scope="col">facility</th>
            <th scope="col">discrimination</th>
            <th scope="col">answers</th>
            <th scope="col">slips, and what else went wrong</th>
          </tr>
        </thead>
        <tbody>
          {sheet.questions.map((asked) => (
            <tr key={asked.question}>
              <th scope="row">
                {asked.question} {asked.asks}
              </th>
              <td>{two(asked.facility)}</td>
              <td>{two(asked.discrimination)}</td>
              <td>
                <ShareBar asked={asked} onAsk={onAsk} />
              </td>
              <td>
                {asked.slips.map(({ slip, students: own }) => (
                  <button
                    key={slip}
                    type="button"
                    class="quiet"
                    title={hints[`${sheet.sheet} ${asked.question} ${slip}`]}
                    onClick={() =>
                      onAsk(own, `slip “${slip}” in ${asked.question}`, asked.question)
                    }
                  >
                    {slip}: {own.length}
                  </button>
                ))}
                {asked.faults.length > 0 && (
                  <button
                    type="button"
                    class="quiet"
                    onClick={() =>
                      onAsk(asked.faults, `cell of ${asked.question} failed`, asked.question)
                    }
                  >
                    its cell failed: {asked.faults.length}
                  </button>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function ShareBar({ asked, onAsk }: { asked: QuestionWhole; onAsk: Ask }) {
  return (
    <div class="share">
      {shares.map((share) => {
        const own = asked.by[share];
        return own.length === 0 ? null : (
          <button
            key={share}
            type="button"
            data-share={share}
            style={`flex-grow:${own.length}`}
            title={`${shareWords[share]}: ${own.length}`}
            aria-label={`${asked.question}, ${shareWords[share]}: ${students(own.length)}`}
            onClick={() => onAsk(own, `${shareWords[share]} for ${asked.question}`, asked.question)}
          >
            {own.length}
          </button>
        );
      })}
    </div>
  );
}

const decades = 1;
/** Columns from a tenth to ten times: each as wide as a finger needs. */
const steps = { wide: 30, narrow: 8 };
const ticks = [0.1, 0.2, 0.5, 1, 2, 5, 10];

function useColumns(): number {
  const wide = useMemo(() => matchMedia('(min-width: 1000px)'), []);
  const [isWide, setWide] = useState(wide.matches);
  useEffect(() => {
    const look = () => setWide(wide.matches);
    wide.addEventListener('change', look);
    return () => wide.removeEventListener('change', look);
  }, [wide]);
  return isWide ? steps.wide : steps.narrow;
}

/** How far numbers lie from what was expected of each student, question by question. */
function Ratios({ folder, sheet, onAsk }: { folder: string; sheet: SheetWhole; onAsk: Ask }) {
  const [told, setTold] = useState<readonly RatiosTold[]>();
  const [fault, setFault] = useState('');
  const columns = useColumns();
  useEffect(() => {
    ask.ratios(folder, sheet.sheet).then(setTold, (error: Error) => setFault(error.message));
  }, []);
  const rows = told?.filter(({ ratios }) => ratios.length > 0) ?? [];
  if (fault)
    return (
      <p class="notice" role="alert">
        {fault}
      </p>
    );
  if (rows.length === 0) return null;
  return (
    <figure class="plot ratios">
      <figcaption>
        answers over what was expected of each student; one column is a step of{' '}
        {Math.round(100 * (10 ** ((2 * decades) / columns) - 1))} %
      </figcaption>
      {rows.map(({ question, ratios }) => {
        const bins = new Map<number, { student: string; ratio: number }[]>();
        const outside: string[] = [];
        for (const { student, ratio } of ratios) {
          const at = Math.round((Math.log10(ratio) / decades + 1) * (columns / 2));
          if (at >= 0 && at <= columns) bins.set(at, [...(bins.get(at) ?? []), { student, ratio }]);
          else outside.push(student);
        }
        const most = Math.max(1, ...[...bins.values()].map(({ length }) => length));
        return (
          <div key={question} class="ratio-row">
            <b>{question}</b>
            <div class="strip">
              {ticks.map((tick) => (
                <i
                  key={tick}
                  class={tick === 1 ? 'tick expected' : 'tick'}
                  style={`left:${50 * (Math.log10(tick) / decades + 1)}%`}
                  aria-hidden="true"
                />
              ))}
              {[...bins].map(([at, own]) => {
                const sorted = own.map(({ ratio }) => ratio).sort((a, b) => a - b);
                const said = `about ${sorted[own.length >> 1].toPrecision(2)} × expected in ${question}`;
                return (
                  <button
                    key={at}
                    type="button"
                    class={at === columns / 2 ? 'expected' : ''}
                    style={`left:${(100 * at) / columns}%;height:${25 + (75 * own.length) / most}%`}
                    title={`${said}: ${own.length}`}
                    aria-label={`${said}: ${students(own.length)}`}
                    onClick={() =>
                      onAsk(
                        own.map(({ student }) => student),
                        said,
                        question,
                      )
                    }
                  >
                    {own.length}
                  </button>
                );
              })}
            </div>
            {outside.length > 0 && (
              <button
                type="button"
                class="quiet"
                onClick={() =>
                  onAsk(outside, `farther off, or not positive, in ${question}`, question)
                }
              >
                {outside.length} farther off
              </button>
            )}
          </div>
        );
      })}
      <div class="ratio-row" aria-hidden="true">
        <b />
        <div class="strip scale">
          {ticks.map((tick) => (
            <i key={tick} style={`left:${50 * (Math.log10(tick) / decades + 1)}%`}>
              {tick}
            </i>
          ))}
        </div>
      </div>
    </figure>
  );
}

/** What is worth a word in class, and the page that is projected there. */
function Discuss({ all, told }: { all: readonly SheetWhole[]; told: WholeTold }) {
  const [left, setLeft] = useState<ReadonlySet<string>>(new Set());
  const [isShown, setShown] = useState(false);
  const found = useMemo(
    () =>
      all.flatMap((sheet) => {
        const hint = (question: string, slip: string) =>
          told.hints[`${sheet.sheet} ${question} ${slip}`] ?? '';
        return toDiscuss([asOfClass(sheet, hint)]).map((one): Discussed & { why: string } => {
          const asked = sheet.questions.find(({ question }) => question === one.question)!;
          return {
            ...{ sheet: sheet.title, id: `${one.sheet} ${one.question}`, why: one.why },
            ...{ question: one.question, asks: one.asks },
            text: told.texts[`${one.sheet} ${one.question}`] ?? '',
            by: asked.by,
            slips: asked.slips.map(({ slip, students: own }) => ({
              ...{ slip, count: own.length },
              // What one of them answered is nobody else's business.
              hint: hint(one.question, slip).replace(/^.*? was read\. /, ''),
            })),
          };
        });
      }),
    [all, told],
  );
  const kept = found.filter(({ id }) => !left.has(id));
  return (
    <section class="paper">
      <h2>Worth a word in class</h2>
      {found.length === 0 ? (
        <p>Nothing stands out.</p>
      ) : (
        <>
          <ul class="discuss">
            {found.map(({ id, question, asks, sheet, why }) => (
              <li key={id}>
                <label>
                  <input
                    type="checkbox"
                    checked={!left.has(id)}
                    onChange={() => {
                      const next = new Set(left);
                      if (!next.delete(id)) next.add(id);
                      setLeft(next);
                    }}
                  />{' '}
                  {question} {asks} <span class="soft">· {sheet}</span>
                </label>
                <p class="soft">{why}</p>
              </li>
            ))}
          </ul>
          <p class="row">
            <button
              type="button"
              class="main"
              disabled={kept.length === 0}
              onClick={() => setShown(true)}
            >
              Project {kept.length === 1 ? 'this one' : `these ${kept.length}`}
            </button>
            <span class="soft">Numbers and shares only, no names.</span>
          </p>
        </>
      )}
      {isShown && <Projected all={kept} onClose={() => setShown(false)} />}
    </section>
  );
}

interface AlikeProps {
  folder: string;
  told: WholeTold;
  all: readonly SheetWhole[];
  names: ReadonlyMap<string, string>;
}

/** Groups of returns that are alike, and two of them side by side. */
function Alike({ folder, told, all, names }: AlikeProps) {
  const [open, setOpen] = useState<{ group: number; one: string; other: string }>();
  const titles = new Map(all.map(({ sheet, title }) => [sheet, title]));
  const named = (student: string) => `${student} ${names.get(student) ?? ''}`.trim();
  return (
    <section class="paper">
      <h2>Answers that are alike</h2>
      <p class="soft">
        Groups that share much which hardly anyone else wrote; what the sheet gave does not count.
        People who worked together, or had the same help, show up here too: it proves nothing. Marks
        are not touched.
      </p>
      {told.alike.length === 0 && <p>None.</p>}
      <ul class="groups">
        {told.alike.map((group, i) => (
          <li key={`${group.sheet} ${group.students.join(' ')}`}>
            <p>
              {titles.get(group.sheet) ?? group.sheet}: {group.students.map(named).join(', ')}.{' '}
              <span class="soft">
                {group.passages} {group.passages === 1 ? 'passage' : 'passages'}
                {group.names.length > 0 && `; own names: ${group.names.join(', ')}`}
                {group.numbers.length > 0 && `; digits of odd numbers: ${group.numbers.join(', ')}`}
              </span>{' '}
              <button
                type="button"
                class="quiet"
                aria-expanded={open?.group === i}
                onClick={() =>
                  setOpen(
                    open?.group === i
                      ? undefined
                      : { group: i, one: group.students[0], other: group.students[1] },
                  )
                }
              >
                Side by side
              </button>
            </p>
            {open?.group === i && (
              <>
                <p class="row">
                  {(['one', 'other'] as const).map((side) => (
                    <label key={side}>
                      {side === 'one' ? 'left' : 'right'}{' '}
                      <select
                        value={open[side]}
                        onChange={(event) =>
                          setOpen({ ...open, [side]: event.currentTarget.value })
                        }
                      >
                        {group.students.map((student) => (
                          <option key={student} value={student}>
                            {named(student)}
                          </option>
                        ))}
                      </select>
                    </label>
                  ))}
                </p>
                <Pair
                  key={`${open.one} ${open.other}`}
                  {...{ folder, one: open.one, other: open.other }}
                  sheet={group.sheet}
                />
              </>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

interface PairProps {
  folder: string;
  sheet: string;
  one: string;
  other: string;
}

function Pair({ folder, sheet, one: left, other: right }: PairProps) {
  const [pair, setPair] = useState<SideBySide>();
  const [fault, setFault] = useState('');
  const [isAll, setAll] = useState(false);
  useEffect(() => {
    ask.pair(folder, sheet, left, right).then(setPair, (error: Error) => setFault(error.message));
  }, []);
  if (fault)
    return (
      <p class="notice" role="alert">
        {fault}
      </p>
    );
  if (!pair) return null;
  const isAlike = ({ one: a, other: b }: CellPair) => a.same + b.same > 0;
  const cells = isAll ? pair.cells : pair.cells.filter(isAlike);
  return (
    <div class="pair">
      {cells.map((cell, i) => (
        <section
          key={i}
          aria-label={`${cell.question}${cell.isOwn ? ', a cell of their own' : ''}`}
        >
          <h3>
            {cell.question}
            {cell.isOwn && ', a cell of their own'}
          </h3>
          <Side student={left} side={cell.one} />
          <Side student={right} side={cell.other} />
        </section>
      ))}
      {pair.cells.length > cells.length && (
        <button type="button" class="quiet" onClick={() => setAll(true)}>
          The other {pair.cells.length - cells.length} cells, in which nothing is the same
        </button>
      )}
    </div>
  );
}

function Side({ student, side }: { student: string; side: SideOfPair }) {
  return (
    <div class="side">
      <p class="soft">
        {student}:{' '}
        {side.words === 0
          ? 'nothing here'
          : `${side.same} of ${side.words} words and signs stand in both`}
      </p>
      {side.pieces.length > 0 && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: long lines scroll, and the keyboard must reach them
        <pre tabIndex={0}>
          {side.pieces.map(({ text, isSame }, i) =>
            isSame ? (
              <mark key={i}>
                <span class="aloud">the same: </span>
                {text}
                <span class="aloud"> (end)</span>
              </mark>
            ) : (
              text
            ),
          )}
        </pre>
      )}
    </div>
  );
}

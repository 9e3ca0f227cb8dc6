import { useEffect, useMemo, useState } from 'preact/hooks';
import type { RatiosTold, SheetWhole } from '../../../marking/class-whole';
import { ask } from './ask';

/** Leads to these students' answers in the table. */
export type Ask = (students: readonly string[], said: string, question?: string) => void;

export const two = (value: number | null) =>
  value === null ? '–' : value.toFixed(2).replace('-', '−');
export const students = (count: number) => (count === 1 ? '1 student' : `${count} students`);

const mostBars = 24;

/** How many have how many marks. */
export function MarksPlot({ sheet, onAsk }: { sheet: SheetWhole; onAsk: Ask }) {
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
export function FacilityPlot({
  sheet,
  onAsk,
}: {
  sheet: SheetWhole;
  onAsk: (question: string) => void;
}) {
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
export function Ratios({
  folder,
  sheet,
  onAsk,
}: {
  folder: string;
  sheet: SheetWhole;
  onAsk: Ask;
}) {
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

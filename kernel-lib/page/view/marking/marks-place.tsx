import { useCallback, useEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { GridCell } from '../../../marking/class-grid';
import type { LookedThrough } from '../../../marking/looked-through';
import { Later } from '../later';
import type { SameSlip } from './answer-panel';
import { ask, type Place } from './ask';
import {
  filterGrid,
  type GridFilter,
  noFilter,
  slipsIn,
  type VerdictAsked,
  verdicts,
} from './grid-filter';
import { type At, MarksTable } from './marks-table';

/** What shows texts and formulas comes when the first answer is opened. */
const answerPanel = () => import('./answer-panel').then(({ AnswerPanel }) => AnswerPanel);

interface PlaceProps {
  looked: LookedThrough;
  names: ReadonlyMap<string, string>;
  by: string;
  /** What the class as a whole was asked for. */
  asked: GridFilter | undefined;
  onLooked: (looked: LookedThrough) => void;
}

/** The middle place: students × questions, and one answer beside them. */
export function MarksPlace({ looked, names, by, asked: wanted, onLooked }: PlaceProps) {
  const { grid, folder, zone } = looked;
  const [filter, setFilter] = useState<GridFilter>(() => ({
    ...noFilter,
    sheet:
      grid.sheets.filter(({ from, to }) => to > from).length === 1
        ? grid.sheets.find(({ from, to }) => to > from)!.sheet
        : '',
    ...wanted,
  }));
  const [at, setAt] = useState<At>({ row: 0, column: 0 });
  const [open, setOpen] = useState(0);
  const [byKey, setByKey] = useState(0);
  const search = useRef<HTMLInputElement>(null);
  const frame = useRef<HTMLDivElement>(null);
  const said = useSaid(zone);
  const shown = useMemo(
    () => filterGrid(grid, filter, (student) => names.get(student) ?? ''),
    [grid, filter, names],
  );
  const slips = useMemo(
    () =>
      slipsIn(
        grid,
        filterGrid(grid, { ...noFilter, sheet: filter.sheet, question: filter.question }).columns,
      ),
    [grid, filter.sheet, filter.question],
  );
  const { rows, columns } = shown;
  const row = Math.min(at.row, rows.length - 1);
  const column = Math.min(at.column, columns.length - 1);
  const student = row >= 0 ? grid.students[rows[row]] : undefined;
  const asked = column >= 0 ? grid.columns[columns[column]] : undefined;
  const cell = student && asked ? student.cells[columns[column]] : null;
  const place: Place | undefined =
    student && asked
      ? { student: student.student, sheet: asked.sheet, question: asked.question }
      : undefined;

  const backToTable = () => frame.current?.querySelector<HTMLElement>('[role="grid"]')?.focus();
  const close = () => {
    setOpen(0);
    requestAnimationFrame(backToTable);
  };
  const onOpen = useCallback((to: At, isByKey: boolean) => {
    setAt(to);
    setOpen((n) => n + 1);
    if (isByKey) setByKey((n) => n + 1);
    else frame.current?.querySelector<HTMLElement>('[role="grid"]')?.focus();
  }, []);

  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      const isTyping = (event.target as Element | null)?.closest('input, select, textarea');
      if (event.key === '/' && !isTyping) {
        event.preventDefault();
        search.current?.select();
      } else if (event.key === 'Escape' && !isTyping) setOpen(0);
    };
    addEventListener('keydown', onKey);
    return () => removeEventListener('keydown', onKey);
  }, []);

  const narrow = (part: Partial<GridFilter>) => {
    setFilter((old) => ({ ...old, ...part }));
    setAt((old) => ({
      row: 0,
      column: 'sheet' in part || 'question' in part || 'slip' in part ? 0 : old.column,
    }));
  };
  const same = useMemo(
    () => sameSlips(looked, place, cell),
    [looked, place?.student, place?.sheet, place?.question, cell],
  );
  const back =
    student &&
    asked &&
    student.returns[grid.sheets.findIndex(({ sheet }) => sheet === asked.sheet)];
  const came = back
    ? `${back.time === null ? 'nothing tells when' : said(back.time)}${back.daysLate > 0 ? `, ${back.daysLate} ${back.daysLate === 1 ? 'day' : 'days'} late` : ''}${back.held === undefined ? '' : ' if the time is right; nothing is deducted so far'}`
    : 'not yet';

  return (
    <div class="look-through" data-open={open > 0} ref={frame}>
      <section class="paper table-sheet" aria-label="Marks">
        <div class="filters">
          <label>
            <span class="named">find</span>
            <input
              ref={search}
              type="search"
              placeholder="number or name   /"
              value={filter.text}
              onInput={(event) => narrow({ text: event.currentTarget.value })}
              onKeyDown={(event) => {
                if (event.key === 'Escape') {
                  event.preventDefault();
                  if (filter.text !== '') narrow({ text: '' });
                  else backToTable();
                }
                if (event.key === 'Enter' || event.key === 'ArrowDown') {
                  event.preventDefault();
                  backToTable();
                }
              }}
            />
          </label>
          <Choice
            label="sheet"
            value={filter.sheet}
            all="all sheets"
            options={grid.sheets
              .filter(({ from, to }) => to > from)
              .map(({ sheet, title }) => [sheet, title])}
            onChoose={(sheet) => narrow({ sheet, question: '', slip: '' })}
          />
          <Choice
            label="question"
            value={filter.question}
            all="all questions"
            options={grid.columns
              .filter(({ sheet }) => filter.sheet === '' || sheet === filter.sheet)
              .map(({ sheet, question, asks }) => [`${sheet} ${question}`, `${question} ${asks}`])}
            onChoose={(question) => narrow({ question, slip: '' })}
          />
          <Choice
            label="verdict"
            value={filter.verdict}
            all="any verdict"
            options={Object.entries(verdicts)}
            onChoose={(verdict) => narrow({ verdict: verdict as VerdictAsked | '' })}
          />
          <Choice
            label="slip"
            value={filter.slip}
            all="any slip"
            options={slips.map(({ id, question, slip, count }) => [
              id,
              `${question} ${slip} (${count})`,
            ])}
            onChoose={(slip) => narrow({ slip })}
          />
          {filter !== noFilter && Object.values(filter).some(Boolean) && (
            <button type="button" class="quiet" onClick={() => narrow(noFilter)}>
              Show all
            </button>
          )}
        </div>
        <p class="count" role="status">
          {rows.length === grid.students.length
            ? `${rows.length} students`
            : `${rows.length} of ${grid.students.length} students`}
          {filter.among && `: ${filter.among.said}`}
        </p>
        <MarksTable
          grid={grid}
          shown={shown}
          names={names}
          at={{ row: Math.max(0, row), column: Math.max(0, column) }}
          onMove={setAt}
          onOpen={onOpen}
          said={said}
        />
        <p class="legend">
          {legend.map(([kind, text, said]) => (
            <>
              <span class={`q ${kind}`}>
                <span>{text}</span>
              </span>{' '}
              {said}
            </>
          ))}
        </p>
        <p class="legend">
          Arrows move, Enter opens an answer, Escape closes it, / goes to the search.
        </p>
      </section>
      {open > 0 && place && (
        <Later
          load={answerPanel}
          props={{
            folder: folder,
            grid: grid,
            place: place,
            name: names.get(place.student) ?? '',
            cell: cell,
            came: came,
            same: same,
            byKey: byKey,
            onSet: async (what) => {
              onLooked(await ask.set(folder, { ...what, by }));
              // Where there is room for one of the two only, the answer stands in the place of the table.
              if (matchMedia('(max-width: 1000px)').matches) setOpen(0);
              requestAnimationFrame(backToTable);
            },
            onLook: (other) => {
              const next = rows.findIndex((index) => grid.students[index].student === other);
              if (next >= 0) setAt({ row: next, column });
              else {
                setFilter({ ...noFilter, sheet: filter.sheet });
                const all = filterGrid(grid, { ...noFilter, sheet: filter.sheet });
                setAt({
                  row: grid.students.findIndex((one) => one.student === other),
                  column: Math.max(0, all.columns.indexOf(columns[column])),
                });
              }
            },
            onClose: close,
          }}
        />
      )}
    </div>
  );
}

/** What the shapes in the table say. */
const legend = [
  ['no slip', '0', 'a known slip'],
  ['follows', '1', 'carried forward from an earlier mistake'],
  ['hand', '2', 'changed by a person'],
  ['read', 'read', 'waits for a reader'],
  ['no failed', '0', 'its cell failed'],
] as const;

/** All others who made the same slip in the same question. */
function sameSlips(
  { grid }: LookedThrough,
  place: Place | undefined,
  cell: GridCell | null,
): readonly SameSlip[] {
  if (!place || cell?.slip === undefined) return [];
  const column = grid.columns.findIndex(
    ({ sheet, question }) => sheet === place.sheet && question === place.question,
  );
  return grid.students.flatMap(({ student, cells }) => {
    const theirs = cells[column];
    return theirs && student !== place.student && theirs.slip === cell.slip
      ? [{ student, cell: theirs }]
      : [];
  });
}

interface ChoiceProps {
  label: string;
  value: string;
  /** What the choice of nothing is called. */
  all: string;
  options: readonly (readonly [value: string, said: string])[];
  onChoose: (value: string) => void;
}

function Choice({ label, value, all, options, onChoose }: ChoiceProps) {
  return (
    <label>
      <span class="named">{label}</span>
      <select value={value} onChange={(event) => onChoose(event.currentTarget.value)}>
        <option value="">{all}</option>
        {options.map(([id, said]) => (
          <option key={id} value={id}>
            {said}
          </option>
        ))}
      </select>
    </label>
  );
}

/** Says a moment by the clocks of the instructor's zone, such as "3 Dec 18:20". */
function useSaid(zone: string): (time: string) => string {
  return useMemo(() => {
    const format = new Intl.DateTimeFormat('en-GB', {
      ...{ day: 'numeric', month: 'short', hour: '2-digit', minute: '2-digit' },
      ...{ hourCycle: 'h23', timeZone: zone },
    });
    return (time) => format.format(new Date(time)).replace(',', '');
  }, [zone]);
}

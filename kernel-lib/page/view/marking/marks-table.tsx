import { memo } from 'preact/compat';
import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { ClassGrid, GridCell, GridStudent } from '../../../marking/class-grid';
import type { FilteredGrid } from './grid-filter';

/** Height of a row, px; the style sheet says the same. */
const rowHeight = 32;
/** Width of a question's column, px; the style sheet says the same. */
const cellWidth = 46;
/** Rows and columns drawn around what is seen. */
const spare = 4;

/** A place in the table, by row and column as they are shown. */
export interface At {
  readonly row: number;
  readonly column: number;
}

interface TableProps {
  grid: ClassGrid;
  shown: FilteredGrid;
  names: ReadonlyMap<string, string>;
  at: At;
  onMove: (at: At) => void;
  /** A click on an answer, or Enter. */
  onOpen: (at: At, byKey: boolean) => void;
  said: (time: string) => string;
}

/**
 * Students × questions. Only what is seen is drawn, and a row of it again only when it changes, so that thousands
 * scroll smoothly. The table itself has the keyboard and says which cell is meant.
 */
export function MarksTable({ grid, shown, names, at, onMove, onOpen, said }: TableProps) {
  const frame = useRef<HTMLDivElement>(null);
  const seen = useSeen(frame);
  const { first, count } = seen;
  const { rows, columns } = shown;
  const sheets = grid.sheets.filter((one) => columns.some((c) => c >= one.from && c < one.to));
  const only = sheets.length === 1 ? grid.sheets.indexOf(sheets[0]) : undefined;

  useLayoutEffect(() => {
    if (frame.current) bringIntoView(frame.current, at);
  }, [at.row, at.column]);

  const onKeyDown = (event: KeyboardEvent) => {
    const next = moved(event, at, rows.length, columns.length, count);
    if (event.key === 'Enter' && rows.length > 0) onOpen(at, true);
    else if (next) onMove(next);
    else return;
    event.preventDefault();
  };

  const outOf = sheets.reduce((sum, one) => sum + one.outOf, 0);
  const drawn = rows.slice(first, first + count);
  const onClick = (event: MouseEvent) => {
    const cell = (event.target as Element).closest<HTMLElement>('[data-column]');
    const { column = '0', row = '0' } = cell?.dataset ?? {};
    if (cell) onOpen({ row: Number(row), column: Number(column) }, false);
  };
  return (
    <div ref={frame} class="marks-frame">
      <table
        class="marks-table"
        // biome-ignore lint/a11y/noNoninteractiveElementToInteractiveRole: a table whose cells are chosen with arrows is a grid
        role="grid"
        tabIndex={0}
        aria-label="Marks: students and questions"
        aria-rowcount={rows.length + 2}
        aria-colcount={columns.length + (only === undefined ? 2 : 3)}
        aria-activedescendant={rows.length > 0 ? `cell-${at.row}-${at.column}` : undefined}
        data-sheets={sheets.length}
        style={`--columns:${columns.length}`}
        onKeyDown={onKeyDown}
        onClick={onClick}
      >
        <thead>
          {only === undefined && (
            <tr class="line of-sheets" aria-rowindex={1}>
              <td class="who" />
              {sheets.map(({ sheet, title, from, to }) => {
                const span = columns.filter((c) => c >= from && c < to).length;
                return (
                  <td key={sheet} class="of-sheet" style={{ width: `calc(${span} * var(--cell))` }}>
                    {title}
                  </td>
                );
              })}
            </tr>
          )}
          <tr class="line of-questions" aria-rowindex={2}>
            <th class="who">student</th>
            {only !== undefined && <th class="came">handed in</th>}
            {columns.map((c) => (
              <th key={c} class="q" title={grid.columns[c].asks}>
                {grid.columns[c].question}
              </th>
            ))}
            <th class="total">of {outOf}</th>
          </tr>
        </thead>
        <tbody style={{ height: `${rows.length * rowHeight}px` }}>
          {drawn.map((index, i) => (
            <Row
              key={(first + i) % count}
              grid={grid}
              student={grid.students[index]}
              name={names.get(grid.students[index].student) ?? ''}
              shown={shown}
              row={first + i}
              from={seen.left}
              to={seen.left + seen.wide}
              only={only}
              chosen={first + i === at.row ? at.column : -1}
              said={said}
            />
          ))}
        </tbody>
      </table>
    </div>
  );
}

interface RowProps {
  grid: ClassGrid;
  student: GridStudent;
  name: string;
  shown: FilteredGrid;
  row: number;
  /** The columns that are drawn: `from` up to, not with, `to`. */
  from: number;
  to: number;
  only: number | undefined;
  chosen: number;
  said: (time: string) => string;
}

const Row = memo(({ grid, student, name, shown, row, from, to, only, chosen, said }: RowProps) => {
  const { columns, isAsked } = shown;
  const before = only === undefined ? 2 : 3;
  const back = only === undefined ? undefined : student.returns[only];
  return (
    <tr
      class="line"
      aria-rowindex={row + 3}
      style={{ transform: `translateY(${row * rowHeight}px)` }}
    >
      <th scope="row" class="who">
        <b>{student.student}</b> {name}
      </th>
      {only !== undefined && (
        <td class="came">
          {cameWords(back, said)}
          {back && back.daysLate > 0 && (
            <span class="late">
              {' '}
              {back.daysLate} {back.daysLate === 1 ? 'day' : 'days'}
            </span>
          )}
        </td>
      )}
      {columns.slice(from, to).map((c, i) => {
        const column = from + i;
        const cell = student.cells[c];
        const words = cellClass(cell, isAsked(cell, c), chosen === column);
        return (
          // biome-ignore lint/a11y/useAriaPropsSupportedByRole: within a grid this is a gridcell, which can be selected
          <td
            key={i}
            id={`cell-${row}-${column}`}
            class={words}
            style={i === 0 && from > 0 ? { marginLeft: `${from * cellWidth}px` } : undefined}
            aria-colindex={column + before}
            aria-selected={chosen === column}
            aria-label={cellAloud(cell, grid.columns[c])}
            data-row={row}
            data-column={column}
          >
            {words === 'q' ? cellText(cell) : <span>{cellText(cell)}</span>}
          </td>
        );
      })}
      <td class="total">{totalWords(student, only)}</td>
    </tr>
  );
});

function cameWords(back: GridStudent['returns'][number] | undefined, said: TableProps['said']) {
  if (!back) return 'not yet';
  return back.time === null ? 'no time' : said(back.time);
}

function totalWords({ total, waits, returns }: GridStudent, only: number | undefined): string {
  if (only !== undefined) return returns[only] ? `${returns[only].counted}` : '–';
  return waits > 0 ? `${total} + …` : `${total}`;
}

const cellText = (cell: GridCell | null) =>
  cell === null ? '–' : cell.state === 'to be read' ? 'read' : `${cell.marks}`;

/** What a cell says by its shape: a known slip, a person's hand, one that waits, what follows from an earlier mistake. */
function cellClass(cell: GridCell | null, isAsked: boolean, isChosen: boolean): string {
  const words = ['q'];
  if (cell === null) words.push('none');
  else {
    if (cell.state !== 'agrees') words.push(cell.state === 'not yet' ? 'no' : 'read');
    if (cell.slip !== undefined) words.push('slip');
    if (cell.follows !== undefined) words.push('follows');
    if (cell.fault !== undefined) words.push('failed');
    if (cell.from !== undefined) words.push('hand');
  }
  if (!isAsked) words.push('aside');
  if (isChosen) words.push('chosen');
  return words.join(' ');
}

function cellAloud(
  cell: GridCell | null,
  { question, outOf }: { readonly question: string; readonly outOf: number },
): string {
  if (cell === null) return `${question}: not handed in`;
  const told = [
    cell.state === 'to be read' ? 'to be read' : `${cell.marks} of ${outOf}`,
    ...(cell.slip === undefined ? [] : [`slip: ${cell.slip}`]),
    ...(cell.follows === undefined ? [] : [`follows from ${cell.follows}`]),
    ...(cell.fault === undefined ? [] : ['its cell failed']),
    ...(cell.from === undefined ? [] : ['changed by a person']),
  ];
  return `${question}: ${told.join(', ')}`;
}

/** Where the keys lead; undefined for keys that lead nowhere. */
function moved(
  { key, ctrlKey, metaKey, altKey }: KeyboardEvent,
  { row, column }: At,
  rows: number,
  columns: number,
  page: number,
): At | undefined {
  if (altKey) return undefined;
  const far = ctrlKey || metaKey;
  const within = (value: number, most: number) => Math.max(0, Math.min(most - 1, value));
  const to = (dRow: number, dColumn: number): At => ({
    row: within(row + dRow, rows),
    column: within(column + dColumn, columns),
  });
  switch (key) {
    case 'ArrowUp':
      return to(far ? -rows : -1, 0);
    case 'ArrowDown':
      return to(far ? rows : 1, 0);
    case 'ArrowLeft':
      return to(0, far ? -columns : -1);
    case 'ArrowRight':
      return to(0, far ? columns : 1);
    case 'PageUp':
      return to(-(page - 2 * spare), 0);
    case 'PageDown':
      return to(page - 2 * spare, 0);
    case 'Home':
      return to(far ? -rows : 0, -columns);
    case 'End':
      return to(far ? rows : 0, columns);
    default:
      return undefined;
  }
}

/** Which rows and columns are seen in the frame as it is scrolled now, and some around them. */
function useSeen(frame: { readonly current: HTMLElement | null }) {
  const [seen, setSeen] = useState({ first: 0, count: 36, left: 0, wide: 36 });
  useLayoutEffect(() => {
    const element = frame.current;
    if (!element) return;
    const part = (from: number, size: number, each: number) => ({
      from: Math.max(0, Math.floor(from / each) - spare),
      count: Math.ceil(size / each) + 2 * spare,
    });
    const look = () => {
      const down = part(element.scrollTop, element.clientHeight, rowHeight);
      const across = part(element.scrollLeft, element.clientWidth, cellWidth);
      const next = { first: down.from, count: down.count, left: across.from, wide: across.count };
      setSeen((old) => (JSON.stringify(old) === JSON.stringify(next) ? old : next));
    };
    look();
    element.addEventListener('scroll', look, { passive: true });
    const watch = new ResizeObserver(look);
    watch.observe(element);
    return () => {
      element.removeEventListener('scroll', look);
      watch.disconnect();
    };
  }, [frame]);
  return seen;
}

/** Scroll just so far that a cell stands clear of the parts that stay in their place. */
function bringIntoView(frame: HTMLElement, { row, column }: At): void {
  const of = (selector: string) => frame.querySelector<HTMLElement>(selector);
  const head = of('thead')?.offsetHeight ?? 0;
  const top = row * rowHeight;
  const room = frame.clientHeight - head;
  if (top < frame.scrollTop) frame.scrollTop = top;
  else if (top + rowHeight > frame.scrollTop + room) frame.scrollTop = top + rowHeight - room;
  const cells = of('.of-questions .q');
  if (!cells) return;
  const before = cells.offsetLeft;
  const left = before + column * cells.offsetWidth;
  const who = of('.of-questions .who')?.offsetWidth ?? 0;
  const total = of('.of-questions .total')?.offsetWidth ?? 0;
  if (left - who < frame.scrollLeft) frame.scrollLeft = column === 0 ? 0 : left - who;
  const right = left + cells.offsetWidth + total;
  if (right > frame.scrollLeft + frame.clientWidth) frame.scrollLeft = right - frame.clientWidth;
}

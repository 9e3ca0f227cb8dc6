import { useEffect, useMemo, useState } from 'preact/hooks';
import { writeCsv } from '../../../marking/csv';
import {
  type ExportProfile,
  exportColumns,
  exportTable,
  lettersProfile,
} from '../../../marking/export-table';
import type {
  ChangeInHistory,
  GoingBackTold,
  LookedThrough,
} from '../../../marking/looked-through';
import { sanitise } from '../../text/safe-markup';
import { saveAs } from '../save-as';
import { SafeHtml } from '../text-view';
import { ask } from './ask';
import { Compared } from './compared';
import { FilledTableForm } from './filled-table-form';

interface PlaceProps {
  looked: LookedThrough;
}

interface BackProps extends PlaceProps {
  /** What the person typed for a name. */
  by: string;
  onLooked: (looked: LookedThrough) => void;
}

/** The last place: what students get, tables for elsewhere, and what people changed. Nothing is sent anywhere. */
export function BackPlace({ looked, by, onLooked }: BackProps) {
  const { folder } = looked;
  const [told, setTold] = useState<GoingBackTold>();
  const [history, setHistory] = useState<readonly ChangeInHistory[]>([]);
  const [fault, setFault] = useState('');
  useEffect(() => {
    Promise.all([ask.back(folder), ask.history(folder)]).then(
      ([back, lines]) => {
        setTold(back);
        setHistory(lines);
      },
      (error: Error) => setFault(error.message),
    );
  }, [looked]);
  return (
    <div class="going-back">
      {fault && (
        <p class="notice" role="alert">
          {fault}
        </p>
      )}
      {told && <Export key={folder} looked={looked} told={told} onTold={setTold} />}
      <Pages looked={looked} people={told?.people ?? {}} />
      {told && (
        <FilledTableForm key={`${folder} other`} looked={looked} told={told} onTold={setTold} />
      )}
      <Compared folder={folder} />
      <History
        history={history}
        onTakeBack={async (change) => {
          try {
            onLooked(await ask.undo(folder, change, by));
            setFault('');
          } catch (error) {
            setFault((error as Error).message);
          }
        }}
      />
    </div>
  );
}

const letters = lettersProfile();

interface ExportProps extends PlaceProps {
  told: GoingBackTold;
  onTold: (told: GoingBackTold) => void;
}

function Export({ looked, told, onTold }: ExportProps) {
  const { grid, folder } = looked;
  const own = told.profiles.filter(({ into }) => !into);
  const [profile, setProfile] = useState<ExportProfile>(own[0] ?? told.usual);
  const [fault, setFault] = useState('');
  const [kept, setKept] = useState('');
  const there = useMemo(() => exportColumns(grid), [grid]);
  const chosen = new Map(profile.columns.map(({ id, head }) => [id, head]));
  const people = useMemo(() => new Map(Object.entries(told.people)), [told.people]);
  const table = useMemo(() => exportTable(grid, people, profile), [grid, people, profile]);

  const toggle = (id: string) => {
    const columns = there.flatMap((column) => {
      const is = chosen.has(column.id) !== (column.id === id);
      return is ? [{ id: column.id, head: chosen.get(column.id) ?? column.head }] : [];
    });
    setProfile({ ...profile, columns });
  };
  const rename = (id: string, head: string) =>
    setProfile({
      ...profile,
      columns: profile.columns.map((one) => (one.id === id ? { id, head } : one)),
    });
  const keep = async (event: Event) => {
    event.preventDefault();
    try {
      onTold({ ...told, profiles: await ask.keepProfile(folder, profile) });
      setFault('');
      setKept(`Kept as “${profile.name.trim()}”.`);
    } catch (error) {
      setFault((error as Error).message);
    }
  };
  const groups = [
    ['Students and sheets', there.filter(({ id }) => !id.startsWith('question '))],
    ['Questions', there.filter(({ id }) => id.startsWith('question '))],
  ] as const;
  return (
    <section class="paper" aria-labelledby="export">
      <h2 id="export">A table for elsewhere</h2>
      <p class="row">
        {own.map((one) => (
          <button
            key={one.name}
            type="button"
            aria-pressed={one.name === profile.name}
            onClick={() => setProfile(one)}
          >
            {one.name}
          </button>
        ))}
        {!own.some(({ name }) => name === letters.name) && (
          <button
            type="button"
            aria-pressed={profile.name === letters.name}
            onClick={() => setProfile(letters)}
          >
            {letters.name}: address, name, marks, remark, file
          </button>
        )}
      </p>
      {groups.map(([title, list]) => (
        <fieldset key={title} class="columns">
          <legend>{title}</legend>
          {list.map(({ id, head }) => (
            <span key={id} class="column">
              <label>
                <input type="checkbox" checked={chosen.has(id)} onChange={() => toggle(id)} />{' '}
                {head}
              </label>
              {chosen.has(id) && (
                <input
                  aria-label={`What the column ${head} is called`}
                  value={chosen.get(id)}
                  onInput={(event) => rename(id, event.currentTarget.value)}
                />
              )}
            </span>
          ))}
        </fieldset>
      ))}
      <p class="row">
        <label>
          <input
            type="checkbox"
            checked={profile.as === 'percent'}
            onChange={(event) =>
              setProfile({ ...profile, as: event.currentTarget.checked ? 'percent' : 'marks' })
            }
          />{' '}
          in percent
        </label>
        <label>
          <input
            type="checkbox"
            checked={profile.delimiter === ';'}
            onChange={(event) =>
              setProfile({ ...profile, delimiter: event.currentTarget.checked ? ';' : ',' })
            }
          />{' '}
          semicolons between cells
        </label>
      </p>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: it scrolls, and the keyboard must reach it */}
      <section class="sample" tabIndex={0} aria-label="The first rows">
        <table>
          <thead>
            <tr>
              {table[0].map((head, index) => (
                <th key={index}>{head}</th>
              ))}
            </tr>
          </thead>
          <tbody>
            {table.slice(1, 5).map((row, index) => (
              <tr key={index}>
                {row.map((value, column) => (
                  <td key={column}>{value}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <form class="row" onSubmit={keep}>
        <button
          type="button"
          class="main"
          disabled={profile.columns.length === 0}
          onClick={() =>
            saveAs({
              name: `${profile.name.trim() || 'marks'}.csv`,
              content: writeCsv(table, profile.delimiter),
            })
          }
        >
          Save the table
        </button>
        <input
          aria-label="Name of this choice of columns"
          placeholder="name of this choice"
          value={profile.name}
          onInput={(event) => setProfile({ ...profile, name: event.currentTarget.value })}
        />
        <button type="submit">Keep this choice</button>
        <span role="status">{kept}</span>
      </form>
      {fault && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
    </section>
  );
}

/** What stands in the page that a student gets; without its own style, which would be another page's. */
function bodyOf(html: string): string {
  const main = new DOMParser().parseFromString(html, 'text/html').querySelector('main');
  for (const heading of main?.querySelectorAll('h1, h2, h3') ?? []) {
    const level = Number(heading.tagName[1]) + 2;
    const lower = heading.ownerDocument.createElement(`h${level}`);
    lower.textContent = heading.textContent;
    heading.replaceWith(lower);
  }
  return sanitise(main?.innerHTML ?? '');
}

function Pages({ looked, people }: PlaceProps & { people: GoingBackTold['people'] }) {
  const { folder, grid } = looked;
  const [student, setStudent] = useState('');
  const [html, setHtml] = useState('');
  const [fault, setFault] = useState('');
  useEffect(() => {
    setHtml('');
    setFault('');
    if (student === '') return;
    let gone = false;
    ask.page(folder, student).then(
      (page) => !gone && setHtml(bodyOf(page.html)),
      (error: Error) => !gone && setFault(error.message),
    );
    return () => {
      gone = true;
    };
  }, [looked, student]);
  return (
    <section class="paper" aria-labelledby="pages">
      <h2 id="pages">The students’ pages</h2>
      <p class="soft">
        As the last run wrote them. Each is a file that opens by itself; nothing is sent by this
        program.
      </p>
      <p class="row">
        <a class="button" href={ask.pagesAddress(folder)} download="students.zip">
          Save all pages in one zip
        </a>
        <label>
          look at{' '}
          <select value={student} onChange={(event) => setStudent(event.currentTarget.value)}>
            <option value="">nobody’s</option>
            {grid.students.map((one) => (
              <option key={one.student} value={one.student}>
                {one.student} {people[one.student]?.name ?? ''}
              </option>
            ))}
          </select>
        </label>
      </p>
      {fault && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      {html && (
        <div class="student-page">
          <SafeHtml html={html} />
        </div>
      )}
    </section>
  );
}

const markSaid = (at: ChangeInHistory['now']) => (at ? `${at.marks}` : 'the marker’s');

interface HistoryProps {
  history: readonly ChangeInHistory[];
  onTakeBack: (change: number) => Promise<void>;
}

function History({ history, onTakeBack }: HistoryProps) {
  const undone = new Set(history.flatMap(({ undoes }) => undoes ?? []));
  const lines = [...history].reverse();
  const sizes = new Map<number, number>();
  for (const { change } of history) sizes.set(change, (sizes.get(change) ?? 0) + 1);
  const isFirst = (index: number) => lines[index - 1]?.change !== lines[index].change;
  return (
    <section class="paper" aria-labelledby="history">
      <h2 id="history">What people changed here</h2>
      {history.length === 0 ? (
        <p>Nothing yet.</p>
      ) : (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: it scrolls, and the keyboard must reach it
        <section class="sample" tabIndex={0} aria-label="Changes">
          <table>
            <thead>
              <tr>
                {['when', 'by', 'student', 'question', 'was', 'is', 'reason', 'all of it'].map(
                  (head) => (
                    <th key={head}>{head}</th>
                  ),
                )}
              </tr>
            </thead>
            <tbody>
              {lines.map((one, index) => (
                <tr key={index}>
                  <td>{one.when.replace('T', ' ').replace('Z', ' UTC')}</td>
                  <td>{one.by}</td>
                  <td>{one.student}</td>
                  <td>{one.question}</td>
                  <td>{markSaid(one.before)}</td>
                  <td>{markSaid(one.now)}</td>
                  <td>
                    {one.undoes === undefined
                      ? one.now?.reason
                      : `taken back: change ${one.undoes}`}
                  </td>
                  <td>
                    {isFirst(index) && one.undoes === undefined && !undone.has(one.change) && (
                      <button
                        type="button"
                        class="quiet"
                        onClick={() => void onTakeBack(one.change)}
                      >
                        Take back{' '}
                        {sizes.get(one.change) === 1 ? 'this' : `all ${sizes.get(one.change)}`}
                        <span class="aloud"> of change {one.change}</span>
                      </button>
                    )}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </section>
      )}
    </section>
  );
}

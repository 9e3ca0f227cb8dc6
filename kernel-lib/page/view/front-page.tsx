import { useEffect, useState } from 'preact/hooks';
import { goTo } from '../net/address';
import { call } from '../net/call';
import { rememberFresh } from '../sheet/fresh';
import type { DeskList, ListedSheet } from '../sheet/session';
import { StudentForm } from './student-form';
import { TitleFilm } from './title-film';

/** All worksheets, the student number, and where the files lie. */
export function FrontPage() {
  const [list, setList] = useState<DeskList>();
  const [fault, setFault] = useState('');
  const load = () =>
    call<DeskList>('GET', '/desk/sheets').then(
      (found) => {
        setList(found);
        setFault('');
      },
      (error: Error) => setFault(error.message),
    );
  useEffect(() => {
    void load();
    // A sheet is opened next: its editor may come meanwhile.
    const ahead = setTimeout(() => void import('../edit/editor'), 300);
    const again = () => document.visibilityState === 'visible' && void load();
    document.addEventListener('visibilitychange', again);
    return () => {
      clearTimeout(ahead);
      document.removeEventListener('visibilitychange', again);
    };
  }, []);
  return (
    <main class="plain">
      <div class="paper front">
        <h1>Diffraction worksheets</h1>
        <p class="under">Slits, gratings and the light behind them.</p>
        <TitleFilm />
        <p class="under">
          <a href="/bench">The live bench</a>: move the slits and watch the film.
        </p>
        {fault && (
          <p class="notice" role="alert">
            {fault}
          </p>
        )}
        {list && (
          <>
            <StudentForm student={list.student} onSaved={load} />
            <ol class="sheets">
              {list.sheets.map((sheet) => (
                <SheetEntry key={sheet.name} sheet={sheet} ready={list.student !== null} />
              ))}
            </ol>
            {list.sheets.length === 0 && <p>No worksheets are installed.</p>}
            <Others others={list.others} />
            <p class="where">
              Your copies are kept in <span class="path">{list.folder}</span>. Only you can open
              this page, and only from this computer.
            </p>
          </>
        )}
      </div>
    </main>
  );
}

function SheetEntry({ sheet, ready }: { sheet: ListedSheet; ready: boolean }) {
  const [fault, setFault] = useState('');
  const [opening, setOpening] = useState(false);
  const number = Number.parseInt(sheet.name, 10);
  const open = async () => {
    setOpening(true);
    try {
      const { path, fresh } = await call<{ path: string; fresh?: string }>(
        'POST',
        `/desk/sheets/${encodeURIComponent(sheet.name)}/open`,
      );
      if (fresh) rememberFresh(path, fresh);
      goTo(`/sheet/${encodeURIComponent(path)}`);
    } catch (error) {
      setFault((error as Error).message);
      setOpening(false);
    }
  };
  return (
    <li>
      <span class="number" aria-hidden="true">
        {Number.isFinite(number) ? number : '–'}
      </span>
      <div>
        <h2>{sheet.title}</h2>
        <p class="standing">{standing(sheet)}</p>
        {(sheet.problem || fault) && (
          <p class="notice" role={fault ? 'alert' : undefined}>
            {sheet.problem ?? fault}
          </p>
        )}
      </div>
      <button
        type="button"
        class="main"
        disabled={!ready || opening || sheet.problem !== undefined}
        aria-label={`${sheet.opened ? 'Go on with' : 'Begin'} ${sheet.title}`}
        onClick={open}
      >
        {sheet.opened ? 'Go on' : 'Begin'}
      </button>
    </li>
  );
}

function standing({ opened, questions, states, marks }: ListedSheet): string {
  const outOf = questions.reduce((sum, question) => sum + question.marks, 0);
  const all = `${questions.length} questions, ${outOf} marks`;
  if (!opened) return questions.length > 0 ? `Not begun. ${all}.` : 'Not begun.';
  const done = Object.values(states).filter((state) => state !== 'not yet').length;
  return `${done} of ${questions.length} questions done, ${marks} of ${outOf} marks so far.`;
}

function Others({ others }: { others: DeskList['others'] }) {
  if (others.length === 0) return null;
  return (
    <section class="others">
      <h2>Other notebooks in your folder</h2>
      <ul>
        {others.map(({ path, problem }) => (
          <li key={path}>
            {problem ? (
              <span>{problem}</span>
            ) : (
              <a href={`/sheet/${encodeURIComponent(path)}`}>{path}</a>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

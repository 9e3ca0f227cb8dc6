import { useEffect, useState } from 'preact/hooks';
import type { DeskList } from '../../travels/listed-sheet';
import { call } from '../net/call';
import { SheetEntry } from './sheet-entry';
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
        <p class="under ways">
          <a href="/bench">The live bench</a>: move the slits and watch the film.{' '}
          <a href="/help">Help</a>: how to run, check, save and hand in.
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
              this page, and only from this computer. To hand in a sheet, open it and press Hand in.
            </p>
          </>
        )}
      </div>
    </main>
  );
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

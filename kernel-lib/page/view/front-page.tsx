import type { RefObject } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { ListedSheet, SheetList } from '../../travels/sheet-list';
import { goTo, hrefOf } from '../address';
import type { FileStore, Host } from '../net/host';
import { rememberFresh } from '../sheet/session';
import { standingWords, statesOf } from '../sheet/standing';
import { CarryingBox, downloadWords, useReminder } from './carrying';
import { SheetFilm, TitleFilm } from './film-strips';
import { HandedInWords } from './handed-in';

/** All worksheets, the student number, and where the files lie. */
export function FrontPage({ host }: { host: Host }) {
  const { files, renewal } = host;
  const [list, setList] = useState<SheetList>();
  const [fault, setFault] = useState('');
  const load = () =>
    files.list().then(
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
  const behind = list?.sheets.filter(({ download }) => download?.kind === 'behind').length ?? 0;
  useReminder(behind > 0);
  return (
    <main class="plain">
      <div class="paper front">
        <h1>Diffraction worksheets</h1>
        <p class="under">Slits, gratings and the light behind them.</p>
        <TitleFilm />
        <p class="under ways">
          <a href={hrefOf('/bench')}>The live bench</a>: move the slits and watch the film.{' '}
          <a href={hrefOf('/help')}>Help</a>: how to run, check, save and hand in.
          {list?.marking && (
            <>
              {' '}
              <a href={list.marking}>Marking</a>: what a class handed in.
            </>
          )}
        </p>
        {fault && (
          <p class="notice" role="alert">
            {fault}
          </p>
        )}
        {list && (
          <>
            <StudentForm files={files} student={list.student} onSaved={load} />
            <ol class="sheets">
              {list.sheets.map((sheet) => (
                <SheetEntry
                  key={sheet.name}
                  files={files}
                  sheet={sheet}
                  ready={list.student !== null}
                />
              ))}
            </ol>
            {list.sheets.length === 0 && <p>No worksheets are installed.</p>}
            <Others others={list.others} />
            {files.carrying && (
              <CarryingBox
                carrying={files.carrying}
                renewal={renewal}
                behind={behind}
                isBegun={list.sheets.some(({ opened }) => opened) || list.others.length > 0}
                onChange={load}
              />
            )}
            <p class="where">
              {list.folder !== null && (
                <>
                  Your copies are kept in <span class="path">{list.folder}</span>. Only you can open
                  this page, and only from this computer.{' '}
                </>
              )}
              To hand in a sheet, open it and press Hand in.
            </p>
          </>
        )}
      </div>
    </main>
  );
}

function Others({ others }: { others: SheetList['others'] }) {
  if (others.length === 0) return null;
  return (
    <section class="others">
      <h2>Other notebooks of yours</h2>
      <ul>
        {others.map(({ path, problem }) => (
          <li key={path}>
            {problem ? (
              <span>{problem}</span>
            ) : (
              <a href={hrefOf(`/sheet/${encodeURIComponent(path)}`)}>{path}</a>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

/** One worksheet of the list: its film, how far it is, and the way in. */
function SheetEntry({
  files,
  sheet,
  ready,
}: {
  files: FileStore;
  sheet: ListedSheet;
  ready: boolean;
}) {
  const [fault, setFault] = useState('');
  const [opening, setOpening] = useState(false);
  const number = Number.parseInt(sheet.name, 10);
  const open = async () => {
    setOpening(true);
    try {
      const { path, fresh } = await files.open(sheet.name);
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
        <SheetFilm name={sheet.name} />
        {sheet.opened && !sheet.problem && (
          <span class="tally" aria-hidden="true">
            {statesOf(sheet).map((state, at) => (
              <span key={at} data-state={state} />
            ))}
          </span>
        )}
        {!sheet.problem && (
          <p class="standing">
            {[standingWords(sheet), downloadWords(sheet.download)].filter(Boolean).join(' · ')}
          </p>
        )}
        {sheet.handedIn && <HandedInWords handedIn={sheet.handedIn} />}
        {(sheet.problem || fault) && (
          <p class="notice" role={fault ? 'alert' : undefined}>
            {sheet.problem ?? fault} {sheet.opened && sheet.problem && beginAnew}
          </p>
        )}
      </div>
      <span class="way-in">
        <button
          type="button"
          class="main"
          disabled={sheet.problem !== undefined}
          aria-disabled={!ready || opening}
          aria-label={`${sheet.opened ? 'Go on with' : 'Begin'} ${sheet.title}`}
          aria-describedby={ready ? undefined : `why-${sheet.name}`}
          onClick={() => {
            if (!ready) document.getElementById('student')?.focus();
            else if (!opening) void open();
          }}
        >
          {sheet.opened ? 'Go on' : 'Begin'}
        </button>
        {!ready && <small id={`why-${sheet.name}`}>after your student number, above</small>}
      </span>
    </li>
  );
}

/** Asks for the student number once; afterwards shows it, with a way to change it. */
interface StudentFormProps {
  files: FileStore;
  student: string | null;
  onSaved: () => void;
}

export function StudentForm({ files, student, onSaved }: StudentFormProps) {
  const [editing, setEditing] = useState(false);
  const [typed, setTyped] = useState(student ?? '');
  const [fault, setFault] = useState('');
  const box = useRef<HTMLElement>(null);
  const isAsking = student === null || editing;
  const wasAsking = useRef(isAsking);
  // What was pressed is gone: the keyboard goes on from what stands in its place.
  useEffect(() => {
    if (wasAsking.current !== isAsking) box.current?.querySelector('input')?.focus();
    if (wasAsking.current && !isAsking) box.current?.querySelector('button')?.focus();
    wasAsking.current = isAsking;
  }, [isAsking]);
  if (!isAsking)
    return (
      <p class="student" ref={box as RefObject<HTMLParagraphElement>}>
        Student number <b>{student}</b>{' '}
        <button type="button" class="quiet" onClick={() => setEditing(true)}>
          Change
        </button>
      </p>
    );
  const save = async (event: Event) => {
    event.preventDefault();
    try {
      await files.setStudent(typed);
      setFault('');
      setEditing(false);
      onSaved();
    } catch (error) {
      setFault((error as Error).message);
    }
  };
  return (
    <form class="student" ref={box as RefObject<HTMLFormElement>} onSubmit={save} noValidate>
      <label for="student">Your student number</label>
      <div class="row">
        <input
          id="student"
          inputMode="numeric"
          autoComplete="off"
          value={typed}
          aria-invalid={fault !== ''}
          aria-describedby="student-why"
          onInput={(event) => setTyped(event.currentTarget.value)}
        />
        <button type="submit" class="main">
          Keep it
        </button>
      </div>
      <p id="student-why" role={fault ? 'alert' : undefined} class={fault ? 'fault' : 'under'}>
        {fault ||
          'Asked for once, before you begin: your own slit widths, wavelengths and readings are drawn from it.'}
      </p>
    </form>
  );
}

/** Where copies lie that no folder holds. */
export const inBrowser =
  'Your copies are kept by this browser, on this device and nowhere else: nothing is sent. Whoever clears the data of this site in the browser deletes them, so download them now and then and keep the files.';

/** The ways out of a damaged copy. */
export const beginAnew =
  'Put an earlier copy in its place, or give it another name and begin the sheet anew.';

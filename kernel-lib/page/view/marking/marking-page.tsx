import { useCallback, useEffect, useMemo, useState } from 'preact/hooks';
import type { LookedThrough, MarkingStart, WhatCameIn } from '../../../marking/looked-through';
import { channel } from '../../tab';
import { Later } from '../later';
import { ask } from './ask';
import { CamePlace } from './came-place';
import type { GridFilter } from './grid-filter';
import { MarksPlace } from './marks-place';
import { NameField, storedName } from './name-field';

/** The folder that the address line names; '' for none. */
const folderInLine = () => new URLSearchParams(location.search).get('folder') ?? '';

/** Other windows that look at the same folder hear of each change. */
const otherWindows = channel('multislit-marks');

const backPlace = () => import('./back-place').then(({ BackPlace }) => BackPlace);

const readPlace = () => import('./read-place').then(({ ReadPlace }) => ReadPlace);
const classPlace = () => import('./class-place').then(({ ClassPlace }) => ClassPlace);
const noNames: ReadonlyMap<string, string> = new Map();

/** The marking desk: a folder of marks is chosen, then looked through. */
export function MarkingPage() {
  const [folder, setFolder] = useState(folderInLine());
  const [start, setStart] = useState<MarkingStart>();
  const [looked, setLooked] = useState<LookedThrough>();
  const [fault, setFault] = useState('');
  const [savedAt, setSavedAt] = useState<Date>();
  const [isChoosing, setChoosing] = useState(false);
  const [names, setNames] = useState(noNames);
  const [came, setCame] = useState<WhatCameIn>();
  const [place, setPlace] = useState<PlaceName>('marks');
  const [by, setBy] = useState(() => storedName());
  const [part, setPart] = useState<PartName>('table');
  const [asked, setAsked] = useState<GridFilter>();

  const load = useCallback(async (path: string): Promise<void> => {
    const [marks, files] = await Promise.allSettled([ask.look(path), ask.came(path)]);
    if (files.status === 'fulfilled') setCame(files.value);
    if (marks.status === 'fulfilled') {
      setLooked(marks.value);
      setFault('');
      // Names are read for as long as they are shown. They are not waited for.
      const people = await ask.back(path).catch(() => undefined);
      const found = Object.entries(people?.people ?? {});
      setNames(new Map(found.map(([student, { name }]) => [student, name])));
    } else setFault((marks.reason as Error).message);
  }, []);

  useEffect(() => {
    ask.start().then(
      (found) => {
        setStart(found);
        const path = folderInLine() || found.folder || '';
        setFolder(path);
        if (path !== '') void load(path);
      },
      (error: Error) => setFault(error.message),
    );
  }, [load]);

  useEffect(() => {
    if (folder === '') return;
    const again = () => document.visibilityState === 'visible' && void load(folder);
    const onHear = () => void load(folder);
    document.addEventListener('visibilitychange', again);
    otherWindows?.addEventListener('message', onHear);
    return () => {
      document.removeEventListener('visibilitychange', again);
      otherWindows?.removeEventListener('message', onHear);
    };
  }, [folder, load]);

  const onLooked = useCallback((next: LookedThrough) => {
    setLooked(next);
    setSavedAt(new Date());
    otherWindows?.postMessage('changed');
  }, []);

  const choose = async (path: string) => {
    history.pushState(null, '', `?folder=${encodeURIComponent(path)}`);
    setLooked(undefined);
    setCame(undefined);
    setPlace('marks');
    setFolder(path);
    setChoosing(false);
    await load(path);
  };
  /** A folder in which nothing was marked yet, or which is not there yet: what came in is looked at first. */
  const begin = async (path: string) => {
    await choose(path);
    setPlace('came');
  };

  const undo = async () => {
    if (!looked?.last) return;
    try {
      onLooked(await ask.undo(looked.folder, looked.last.change, by));
      setFault('');
    } catch (error) {
      setFault((error as Error).message);
      void load(looked.folder);
    }
  };

  useEffect(() => {
    document.title = looked?.course ? `Marking · ${looked.course}` : 'Marking';
  }, [looked?.course]);

  if (!start && !fault) return null;
  const isCame = place === 'came' && came !== undefined;
  if ((!looked && !isCame) || isChoosing)
    return (
      <main class="plain">
        <div class="paper choose">
          <h1>Marking</h1>
          <FolderChoice
            folder={folder}
            recent={start?.recent ?? []}
            fault={isChoosing ? '' : fault}
            onChoose={choose}
            onBegin={begin}
          />
          {looked && (
            <p>
              <button type="button" class="quiet" onClick={() => setChoosing(false)}>
                Back to the marks
              </button>
            </p>
          )}
          <p class="soft">
            <a href="/">All worksheets</a>
          </p>
        </div>
      </main>
    );
  return (
    <>
      <header class="top">
        <h1>Marking{looked?.course && ` · ${looked.course}`}</h1>
        <nav aria-label="Places">
          <Door is="came" at={place} onGo={setPlace}>
            What came in
          </Door>
          {looked && (
            <>
              <Door is="marks" at={place} onGo={setPlace}>
                Marks
              </Door>
              <Door is="back" at={place} onGo={setPlace}>
                Going back
              </Door>
            </>
          )}
        </nav>
        <span class="folder">
          <span class="path">{looked?.folder ?? came?.folder}</span>{' '}
          <button type="button" class="quiet" onClick={() => setChoosing(true)}>
            Another folder
          </button>
        </span>
        <NameField name={by} onName={setBy} />
        <span class="saved">
          <span role="status">{savedAt && `saved ${clock.format(savedAt)}`}</span>
          {looked?.last && (
            <button type="button" class="quiet" onClick={() => void undo()}>
              Undo: {undoWords(looked.last)}
            </button>
          )}
        </span>
      </header>
      <main>
        {looked && <Notices looked={looked} fault={fault} onRun={() => setPlace('came')} />}
        {isCame && (
          <CamePlace
            key={came.folder}
            folder={folder}
            came={came}
            onCame={setCame}
            onEnded={() => void load(folder)}
          />
        )}
        {looked && place === 'back' && <Later load={backPlace} props={{ looked, by, onLooked }} />}
        {looked && place === 'marks' && (
          <>
            <nav class="parts" aria-label="Of the marks">
              {Object.entries(parts).map(([name, said]) => (
                <button
                  key={name}
                  type="button"
                  aria-current={part === name ? 'page' : undefined}
                  onClick={() => {
                    setPart(name as PartName);
                    setAsked(undefined);
                    // What was read meanwhile is in the marks.
                    if (part === 'read') void load(folder);
                  }}
                >
                  {said}
                </button>
              ))}
            </nav>
            {part === 'table' && (
              <MarksPlace
                key={looked.folder}
                looked={looked}
                names={names}
                by={by}
                asked={asked}
                onLooked={onLooked}
              />
            )}
            {part === 'class' && (
              <Later
                load={classPlace}
                props={{
                  ...{ looked, names },
                  onAsk: (filter: GridFilter) => {
                    setAsked(filter);
                    setPart('table');
                  },
                }}
              />
            )}
            {part === 'read' && (
              <Later load={readPlace} props={{ folder: looked.folder, by, onRead: heard }} />
            )}
          </>
        )}
      </main>
    </>
  );
}

type PlaceName = 'came' | 'marks' | 'back';
/** What the middle place shows. */
type PartName = 'table' | 'read' | 'class';
const parts: Readonly<Record<PartName, string>> = {
  table: 'Table',
  read: 'Read written answers',
  class: 'The class as a whole',
};
const heard = () => otherWindows?.postMessage('changed');

interface DoorProps {
  is: PlaceName;
  at: PlaceName;
  onGo: (place: PlaceName) => void;
  children: string;
}

const Door = ({ is, at, onGo, children }: DoorProps) => (
  <button type="button" aria-current={is === at ? 'page' : undefined} onClick={() => onGo(is)}>
    {children}
  </button>
);

const clock = new Intl.DateTimeFormat('en-GB', {
  hour: '2-digit',
  minute: '2-digit',
  hourCycle: 'h23',
});

function undoWords({ places }: NonNullable<LookedThrough['last']>): string {
  const [{ student, question }] = places;
  return places.length === 1
    ? `${question} of ${student}`
    : `${question} of ${places.length} students`;
}

interface NoticesProps {
  looked: LookedThrough;
  fault: string;
  onRun: () => void;
}

function Notices({ looked, fault, onRun }: NoticesProps) {
  const { grid, problem } = looked;
  const fresh = useMemo(
    () =>
      grid.students.reduce((sum, { cells }) => sum + cells.filter((one) => one?.isNew).length, 0),
    [grid],
  );
  return (
    <>
      {fault && (
        <p class="notice" role="alert">
          {fault}
        </p>
      )}
      {problem && (
        <p class="notice" role="alert">
          {problem} Until it is mended the marks stand here without the changes in that file.
        </p>
      )}
      {fresh > 0 && (
        <p class="notice">
          {fresh === 1 ? '1 mark was' : `${fresh} marks were`} changed since this folder was last
          marked. They are kept; the next run brings them into the tables and the students’ pages.{' '}
          <button type="button" class="quiet" onClick={onRun}>
            To the run
          </button>
        </p>
      )}
    </>
  );
}

interface FolderChoiceProps {
  folder: string;
  recent: readonly string[];
  fault: string;
  onChoose: (folder: string) => void;
  onBegin: (folder: string) => void;
}

function FolderChoice({ folder, recent, fault, onChoose, onBegin }: FolderChoiceProps) {
  const [typed, setTyped] = useState(folder);
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        if (typed.trim() !== '') onChoose(typed.trim());
      }}
    >
      <p>
        Marks lie in a folder of their own. What <code>multislit mark RETURNS --to FOLDER</code>{' '}
        began goes on here, and the other way round; a folder that is not there yet is made by the
        first run.
      </p>
      <label for="folder">Folder of marks</label>
      <div class="row">
        <input
          id="folder"
          class="folder"
          autoComplete="off"
          spellcheck={false}
          value={typed}
          aria-invalid={fault !== ''}
          aria-describedby="folder-fault"
          onInput={(event) => setTyped(event.currentTarget.value)}
        />
        <button type="submit" class="main">
          Look through
        </button>
        <button type="button" onClick={() => typed.trim() !== '' && onBegin(typed.trim())}>
          Begin with what came in
        </button>
      </div>
      <p id="folder-fault" class="fault" role="alert">
        {fault}
      </p>
      {recent.length > 0 && (
        <>
          <h2>Lately</h2>
          <ul class="recent">
            {recent.map((path) => (
              <li key={path}>
                <button type="button" class="quiet path" onClick={() => onChoose(path)}>
                  {path}
                </button>
              </li>
            ))}
          </ul>
        </>
      )}
    </form>
  );
}

import { useCallback, useEffect, useMemo, useState } from 'preact/hooks';
import type { LookedThrough, MarkingStart } from '../../../marking/looked-through';
import { ask } from './ask';
import { MarksPlace } from './marks-place';

/** The folder that the address line names; '' for none. */
const folderInLine = () => new URLSearchParams(location.search).get('folder') ?? '';

/** Other windows that look at the same folder hear of each change. */
const otherWindows = new BroadcastChannel('multislit-marks');

const noNames: ReadonlyMap<string, string> = new Map();

/** The marking desk: a folder of marks is chosen, then looked through. */
export function MarkingPage() {
  const [folder, setFolder] = useState(folderInLine());
  const [start, setStart] = useState<MarkingStart>();
  const [looked, setLooked] = useState<LookedThrough>();
  const [fault, setFault] = useState('');
  const [savedAt, setSavedAt] = useState<Date>();
  const [isChoosing, setChoosing] = useState(false);

  const load = useCallback(async (path: string): Promise<void> => {
    try {
      setLooked(await ask.look(path));
      setFault('');
    } catch (error) {
      setFault((error as Error).message);
    }
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
    otherWindows.addEventListener('message', onHear);
    return () => {
      document.removeEventListener('visibilitychange', again);
      otherWindows.removeEventListener('message', onHear);
    };
  }, [folder, load]);

  const onLooked = useCallback((next: LookedThrough) => {
    setLooked(next);
    setSavedAt(new Date());
    otherWindows.postMessage('changed');
  }, []);

  const choose = async (path: string) => {
    history.pushState(null, '', `?folder=${encodeURIComponent(path)}`);
    setLooked(undefined);
    setFolder(path);
    setChoosing(false);
    await load(path);
  };

  const undo = async () => {
    if (!looked?.last) return;
    try {
      onLooked(await ask.undo(looked.folder, looked.last.change, ''));
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
  if (!looked || isChoosing)
    return (
      <main class="plain">
        <div class="paper choose">
          <h1>Marking</h1>
          <FolderChoice
            folder={folder}
            recent={start?.recent ?? []}
            fault={isChoosing ? '' : fault}
            onChoose={choose}
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
        <h1>Marking{looked.course && ` · ${looked.course}`}</h1>
        <span class="folder">
          <span class="path">{looked.folder}</span>{' '}
          <button type="button" class="quiet" onClick={() => setChoosing(true)}>
            Another folder
          </button>
        </span>
        <span class="saved">
          <span role="status">{savedAt && `saved ${clock.format(savedAt)}`}</span>
          {looked.last && (
            <button type="button" class="quiet" onClick={() => void undo()}>
              Undo: {undoWords(looked.last)}
            </button>
          )}
        </span>
      </header>
      <main>
        <Notices looked={looked} fault={fault} />
        <MarksPlace key={looked.folder} looked={looked} names={noNames} by="" onLooked={onLooked} />
      </main>
    </>
  );
}

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

function Notices({ looked, fault }: { looked: LookedThrough; fault: string }) {
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
          marked. They are kept; <code>multislit mark</code> with this folder brings them into the
          tables and the students’ pages.
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
}

function FolderChoice({ folder, recent, fault, onChoose }: FolderChoiceProps) {
  const [typed, setTyped] = useState(folder);
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        if (typed.trim() !== '') onChoose(typed.trim());
      }}
    >
      <p>
        Marks lie in a folder that <code>multislit mark RETURNS --to FOLDER</code> made. What is
        begun there goes on here, and the other way round.
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

import { useEffect, useRef, useState } from 'preact/hooks';
import type { Notebook } from '../../notebook/notebook';
import { type GoingAlong, goingAlong } from '../../travels/files-beside';
import { handInOf } from '../../travels/handed-in';
import {
  type FailedCell,
  failedCells,
  hasRunFromTop,
  lostMarks,
  packed,
  type StillOpen,
  stillOpen,
} from '../sheet/hand-in';
import type { Session } from '../sheet/session';
import { type QuestionRow, questionRows } from '../sheet/standing';
import { useStore } from '../store';
import { Act } from './act';
import { saveAs } from './save-as';

interface Props {
  session: Session;
  title: string;
  rows: readonly QuestionRow[];
  onClose: () => void;
}

const computing =
  'The sheet is still computing. Wait until it is done, or close this and press Stop.';

/** A run from the top for handing in. */
interface Trial {
  /** How the questions stood before it. */
  readonly before: readonly QuestionRow[];
  readonly is: 'running' | 'through' | 'cut short';
}

/** Says what is still open, runs the sheet as a marker does, then makes the one file to send. */
export function HandIn({ session, title, rows, onClose }: Props) {
  const box = useRef<HTMLDialogElement>(null);
  const cells = useStore(session.model.cells);
  const list = useStore(session.list);
  const { running, waiting, ran } = useStore(session.runner.state);
  const active = running !== undefined || waiting.length > 0;
  // undefined while it is being looked at; '' when all is well.
  const [fault, setFault] = useState<string>();
  const [made, setMade] = useState('');
  const [trial, setTrial] = useState<Trial>();
  const onTrial = trial?.is === 'running';
  const [along, setAlong] = useState<GoingAlong>(alone);

  /** See that all is saved. @returns true when it is */
  const settle = async (): Promise<boolean> => {
    const found = (await session.readList()) ?? (await session.saver.settle()) ?? (await look());
    setFault(found);
    return found === '';
  };
  /** See which files go along. @returns a sentence when that cannot be seen */
  const look = async (): Promise<string> => {
    try {
      setAlong(await goingAlong(session.model.snapshot(), session.host.files.beside));
      return '';
    } catch (error) {
      return (error as Error).message;
    }
  };
  useEffect(() => box.current?.showModal(), []);
  useEffect(() => {
    if (!active && !onTrial) void settle();
  }, [active, onTrial]);

  const asked = handInOf(session.model.snapshot());
  const refusal = 'refusal' in asked ? asked.refusal : onTrial ? '' : active ? computing : fault;
  const open = stillOpen(cells, rows);
  const failed = failedCells(cells);
  const asItStands = hasRunFromTop(cells, ran);
  const handIn = async () => {
    if (!(await settle())) return;
    const notebook = session.model.snapshot();
    const now = handInOf(notebook);
    if ('refusal' in now) return;
    session.model.noteHandedIn(new Date());
    // The note is kept, too, so that the file is what lies there; if that fails the sheet says so by itself.
    await session.saver.save();
    await make(session.model.snapshot(), now.name);
  };
  const make = async (notebook: Notebook, name: string) => {
    try {
      const files = await goingAlong(notebook, session.host.files.beside);
      const file = await packed(notebook, name, files);
      saveAs(file);
      setMade(file.name);
    } catch (error) {
      setFault((error as Error).message);
      return;
    }
    void session.host.files.carrying
      ?.made(session.path, notebook)
      .then(() => session.made.set(session.made.value + 1));
  };
  // Where the browser takes nothing more, the file is the only place left for what is on the screen.
  const rescue = () => {
    if ('refusal' in asked) return;
    session.model.noteHandedIn(new Date());
    void make(session.model.snapshot(), asked.name);
  };
  const again = () => {
    setFault(undefined);
    void settle();
  };
  // A value that only an earlier run left behind would hide what the marker will miss.
  const fromTop = async () => {
    setMade('');
    setTrial({ before: rows, is: 'running' });
    const isThrough = await session.runner.runAsMarked();
    setTrial({ before: rows, is: isThrough ? 'through' : 'cut short' });
    const { value } = session.model.cells;
    const now = questionRows(value, listed);
    const isWhole = failedCells(value).length === 0 && lostMarks(rows, now).length === 0;
    // What is not as it was before is to be seen first; and a dialog that was closed makes nothing.
    if (isThrough && isWhole && box.current?.open) await handIn();
  };
  const listed = list?.sheets.find(({ path }) => path === session.path)?.questions ?? [];
  const close = () => box.current?.close();

  return (
    <dialog ref={box} class="over hand-in" aria-labelledby="hand-in-title" onClose={onClose}>
      <h2 id="hand-in-title" tabIndex={-1} autofocus>
        Hand in: {title}
      </h2>
      {refusal === undefined && <p role="status">Looking whether all is saved …</p>}
      {refusal ? (
        <p class="fault" role="alert">
          {refusal}
        </p>
      ) : null}
      {onTrial && <Running session={session} />}
      {refusal === '' && !onTrial && !('refusal' in asked) && (
        <>
          {trial && <TrialEnded trial={trial} rows={rows} failed={failed} onGo={close} />}
          {!trial && failed.length > 0 && (
            <>
              <p>
                {failed.length === 1 ? 'A cell' : 'Cells'} did not come to{' '}
                {failed.length === 1 ? 'its' : 'their'} end when last run:
              </p>
              <FailedList failed={failed} onGo={close} />
            </>
          )}
          <StillOpenList open={open} onGo={close} />
          {list?.student && list.student !== asked.student && (
            <p>
              The sheet has the student number <b>{asked.student}</b>, the front page{' '}
              <b>{list.student}</b>. Hand in with the right one.
            </p>
          )}
          {list && !list.sheets.some(({ path }) => path === session.path) && (
            <p>
              This is the notebook “{session.path}”, not your copy of the sheet itself. Is it the
              one you mean?
            </p>
          )}
          {!asItStands && (
            <p>
              The sheet is marked in one run from the top, with a clean memory. This page has not
              done so with the sheet as it stands. Do that now, and what you see is what is marked;
              where all comes out as before, the file is made by itself.
            </p>
          )}
          <p>
            One file to send:{' '}
            <b class="name">
              {along.files.length > 0 ? asked.name.replace(/ipynb$/, 'zip') : asked.name}
            </b>
            . The browser puts it where it keeps its downloads; then send it the way your course
            asks. Nothing is sent by this page.
          </p>
          <AlongList along={along} />
          {list && (
            <p>
              The sheet itself stays in{' '}
              {list.folder === null ? (
                'this browser'
              ) : (
                <span class="path">{pathIn(list.folder, session.path)}</span>
              )}
              . You can go on with it and hand in again.
            </p>
          )}
        </>
      )}
      <p class="made" role="status">
        {made && `Made: ${made}. Look for it in your browser's downloads.`}
      </p>
      <div class="row">
        {refusal === '' && !onTrial && !asItStands && (
          <Act main onClick={() => void fromTop()}>
            Run from the top, then hand in
          </Act>
        )}
        {refusal === '' && !onTrial && (
          <Act main={asItStands} onClick={handIn}>
            {asItStands && open.length === 0 && failed.length === 0
              ? 'Make the file'
              : 'Make the file as it is'}
          </Act>
        )}
        {onTrial && <Act onClick={() => void session.runner.stop()}>Stop</Act>}
        {refusal && refusal === fault && <Act onClick={again}>Try again</Act>}
        {refusal && refusal === fault && session.host.files.carrying && (
          <Act onClick={rescue}>Make the file from what is on the screen</Act>
        )}
        <Act onClick={close}>Close</Act>
      </div>
    </dialog>
  );
}

const alone: GoingAlong = { files: [], says: [] };

const sizeOf = (bytes: number) =>
  bytes < 1e6 ? `${Math.max(1, Math.round(bytes / 1e3))} kB` : `${(bytes / 1e6).toFixed(1)} MB`;

/** The files that go along with the notebook, since its cells read them. */
function AlongList({ along: { files, says } }: { along: GoingAlong }) {
  return (
    <>
      {files.length > 0 && (
        <>
          <p>
            A zip, for {files.length === 1 ? 'a file goes' : 'files go'} along that your cells read.
            Leave it packed. Place, date and device are taken out of every picture first.
          </p>
          <ul class="along">
            {files.map(({ name, bytes }) => (
              <li key={name}>
                {name} ({sizeOf(bytes.length)})
              </li>
            ))}
          </ul>
        </>
      )}
      {says.map((sentence) => (
        <p key={sentence} class="notice">
          {sentence}
        </p>
      ))}
    </>
  );
}

/** How far the run from the top is. */
function Running({ session }: { session: Session }) {
  const { waiting, running } = useStore(session.runner.state);
  const count = session.model.cells.value.filter((cell) => cell.cell_type === 'code').length;
  const at = count - waiting.length;
  return (
    <p role="status">
      {running === undefined
        ? 'Forgetting all values …'
        : `Running from the top, as it is marked: cell ${at} of ${count} …`}
    </p>
  );
}

interface TrialEndedProps {
  trial: Trial;
  rows: readonly QuestionRow[];
  failed: readonly FailedCell[];
  /** Called before a link leads to a question. */
  onGo: () => void;
}

/** What came of the run from the top: which cells failed, and what that costs. */
function TrialEnded({ trial: { before, is }, rows, failed, onGo }: TrialEndedProps) {
  const lost = lostMarks(before, rows);
  if (is === 'cut short')
    return (
      <p class="fault" role="alert">
        The run from the top was stopped before its end, so the file is not made yet. Your text is
        kept; answers that were not reached stand as they were last checked.
      </p>
    );
  if (failed.length === 0 && lost.length === 0)
    return <p role="status">The sheet has run from the top, and all came out as before.</p>;
  return (
    <div role="alert">
      <p class="fault">
        {failed.length === 0
          ? 'The sheet has run from the top, and not all came out as before.'
          : `The sheet has run from the top, and ${failed.length === 1 ? 'a cell' : 'cells'} ended with an error. Cells that need ${failed.length === 1 ? 'it' : 'them'} fail as well.`}{' '}
        The file is not made yet, and your text is kept.
      </p>
      <FailedList failed={failed} onGo={onGo} />
      {lost.length > 0 ? (
        <>
          <p>It would cost, for that is how the sheet is marked:</p>
          <ul class="still-open">
            {lost.map(({ question, asks, before, now }) => (
              <li key={question}>
                <a href={`#q-${question}`} onClick={onGo}>
                  {question} {asks}
                </a>
                <span>
                  {before - now} {before - now === 1 ? 'mark' : 'marks'} ({before} before, {now}{' '}
                  now)
                </span>
              </li>
            ))}
          </ul>
        </>
      ) : (
        <p>No question that had marks has lost any by it.</p>
      )}
    </div>
  );
}

/** Cells that ended with an error, each with its first sentence. */
function FailedList({ failed, onGo }: Pick<TrialEndedProps, 'failed' | 'onGo'>) {
  return (
    <ul class="still-open">
      {failed.map(({ id, question, says }) => (
        <li key={id}>
          {question === undefined ? (
            'Outside of the questions'
          ) : (
            <a href={`#q-${question}`} onClick={onGo}>
              Question {question}
            </a>
          )}
          <span>{says}</span>
        </li>
      ))}
    </ul>
  );
}

/** A path as the reader's own system writes it. */
function pathIn(folder: string, path: string): string {
  return folder.includes('\\') ? `${folder}\\${path}` : `${folder}/${path}`;
}

interface StillOpenProps {
  open: readonly StillOpen[];
  /** Called before a link leads to the question. */
  onGo: () => void;
}

/** What a student should know before handing in, question by question. */
function StillOpenList({ open, onGo }: StillOpenProps) {
  if (open.length === 0)
    return <p>Every question has its answer, and each stands as it was last checked.</p>;
  return (
    <>
      <p>{open.length === 1 ? 'One question is' : `${open.length} questions are`} still open:</p>
      <ul class="still-open">
        {open.map(({ question, asks, says }) => (
          <li key={question}>
            <a href={`#q-${question}`} onClick={onGo}>
              {question} {asks}
            </a>
            <span>{says}</span>
          </li>
        ))}
      </ul>
    </>
  );
}

import { useEffect, useRef, useState } from 'preact/hooks';
import type { Notebook } from '../../notebook/notebook';
import { type GoingAlong, goingAlong, packed } from '../sheet/going-along';
import { handInOf, hasRunFromTop, type StillOpen, stillOpen } from '../sheet/hand-in';
import type { Session } from '../sheet/session';
import type { QuestionRow } from '../sheet/standing';
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

/** Says what is still open, then makes the one file to send. */
export function HandIn({ session, title, rows, onClose }: Props) {
  const box = useRef<HTMLDialogElement>(null);
  const cells = useStore(session.model.cells);
  const list = useStore(session.list);
  const { running, waiting, ran } = useStore(session.runner.state);
  const active = running !== undefined || waiting.length > 0;
  // undefined while it is being looked at; '' when all is well.
  const [fault, setFault] = useState<string>();
  const [made, setMade] = useState('');
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
    if (!active) void settle();
  }, [active]);

  const asked = handInOf(session.model.snapshot());
  const refusal = 'refusal' in asked ? asked.refusal : active ? computing : fault;
  const open = stillOpen(cells, rows);
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
  const fromTop = () => {
    box.current?.close();
    // A value that only an earlier run left behind would hide what the marker will miss.
    void session.runner.restart().then(() => session.runner.runAll());
  };

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
      {refusal === '' && !('refusal' in asked) && (
        <>
          <StillOpenList open={open} onGo={() => box.current?.close()} />
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
          {!hasRunFromTop(cells, ran) && (
            <p>
              A marker runs the sheet once from the top, with a clean memory. This page has not done
              so with the sheet as it stands; do it first to see what the marker will see.
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
        {refusal === '' && (
          <Act main onClick={handIn}>
            {open.length > 0 ? 'Make the file as it is' : 'Make the file'}
          </Act>
        )}
        {refusal === '' && !hasRunFromTop(cells, ran) && (
          <Act onClick={fromTop}>Restart and run from the top</Act>
        )}
        {refusal && refusal === fault && <Act onClick={again}>Try again</Act>}
        {refusal && refusal === fault && session.host.files.carrying && (
          <Act onClick={rescue}>Make the file from what is on the screen</Act>
        )}
        <Act onClick={() => box.current?.close()}>Close</Act>
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

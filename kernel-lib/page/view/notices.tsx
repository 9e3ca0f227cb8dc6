import { useEffect, useRef, useState } from 'preact/hooks';
import { sourceOf, tagOf } from '../../notebook/notebook';
import type { NotebookFile } from '../net/host';
import type { Session } from '../sheet/session';
import { useStore, useValue } from '../store';
import { RemovedNotice } from './added-cells';

/** Sentences about what the reader must know now, between bar and sheet. */
export function Notices({ session }: { session: Session }) {
  const saved = useStore(session.saver.state);
  const kernel = useStore(session.kernel.state);
  const notice = useStore(session.notice);
  const openElsewhere = useStore(session.otherTabs.isOpen);
  const { stopped } = useStore(session.runner.state);
  return (
    <div class="notices">
      {saved.kind === 'waiting' && (
        <p class="notice" role="alert">
          {saved.why}
        </p>
      )}
      {saved.kind !== 'waiting' && kernel.kind === 'away' && (
        <p class="notice" role="alert">
          {kernel.why}
        </p>
      )}
      {kernel.kind === 'ended' && (
        <p class="notice" role="alert">
          {kernel.why}
        </p>
      )}
      <StillComputing session={session} />
      {stopped && <Stopped session={session} {...stopped} />}
      {openElsewhere && (
        <p class="notice" role="status">
          This sheet is open in another tab of this browser as well. Type in one of them only: what
          is typed in both at a time has to be settled, one version against the other. This line
          goes when the other tab is closed.
        </p>
      )}
      <RemovedNotice session={session} />
      {notice && (
        <p class="notice" role="status">
          <span>{notice}</span>{' '}
          <button type="button" class="quiet" onClick={() => session.notice.set('')}>
            Close
          </button>
        </p>
      )}
      {saved.kind === 'conflict' && <Conflict session={session} other={saved.other} />}
    </div>
  );
}

/** A kernel that is busy for longer than this with nothing of this page's runs something from before, ms. */
const isFromBefore = 1000;

/** What ran when the page was reloaded goes on in the kernel, unseen: it is told, and can be stopped. */
function StillComputing({ session }: { session: Session }) {
  const busy = useValue(session.kernel.state, ({ kind }) => kind === 'busy');
  const idle = useValue(
    session.runner.state,
    ({ running, waiting, moving }) => running === undefined && waiting.length === 0 && !moving,
  );
  const [told, setTold] = useState(false);
  useEffect(() => {
    setTold(false);
    if (!busy || !idle) return;
    const timer = setTimeout(() => setTold(true), isFromBefore);
    return () => clearTimeout(timer);
  }, [busy, idle]);
  if (!told) return null;
  return (
    <p class="notice" role="status">
      <span>
        Still computing: a cell that was running when this page was opened goes on. What it shows
        does not reach this page any more, so run it again afterwards. Stop ends it; the values of
        the cells before it are kept.
      </span>{' '}
      <button type="button" class="quiet" onClick={() => void session.kernel.interrupt()}>
        Stop it
      </button>
    </p>
  );
}

function Stopped({ session, cell, left }: { session: Session; cell: string; left: number }) {
  const found = session.model.cell(cell);
  const question = found && tagOf(found)?.question;
  const rest = left === 1 ? 'One more step was not run.' : `${left} more steps were not run.`;
  return (
    <p class="notice" role="status">
      Stopped at an error{' '}
      {question ? <a href={`#q-${question}`}>in question {question}</a> : 'at the top of the sheet'}
      . {rest}
    </p>
  );
}

/** Two versions of the sheet: shows where they differ, and the reader chooses. */
function Conflict({ session, other }: { session: Session; other: NotebookFile }) {
  const box = useRef<HTMLDialogElement>(null);
  const [fault, setFault] = useState('');
  useEffect(() => {
    box.current?.showModal();
  }, []);
  const choose = async (which: 'mine' | 'other') => {
    try {
      const aside = await session.saver.choose(which);
      session.notice.set(`The other version is kept beside it as “${aside}”.`);
    } catch (error) {
      setFault((error as Error).message);
    }
  };
  return (
    <dialog
      ref={box}
      class="over conflict"
      aria-labelledby="conflict-title"
      onCancel={(event) => event.preventDefault()}
    >
      <h2 id="conflict-title">This sheet was changed somewhere else</h2>
      <p>
        Another tab or program saved it since this page last did. Choose which version to go on
        with. The one you do not choose is kept beside it as a file of its own.
      </p>
      <ul class="differences">{differences(session, other)}</ul>
      {fault && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      <div class="row">
        <button type="button" class="main" onClick={() => choose('mine')}>
          Go on with what is here
        </button>
        <button type="button" onClick={() => choose('other')}>
          Take the other version
        </button>
      </div>
    </dialog>
  );
}

function differences(session: Session, other: NotebookFile) {
  const theirs = new Map(other.notebook.cells.map((cell) => [cell.id, sourceOf(cell)]));
  const ours = new Map(session.model.cells.value.map((cell) => [cell.id, sourceOf(cell)]));
  const changed = [...new Set([...ours.keys(), ...theirs.keys()])]
    .map((id) => ({ id, here: ours.get(id), there: theirs.get(id) }))
    .filter(({ here, there }) => here !== there);
  if (changed.length === 0) return <li>The texts are the same; only results differ.</li>;
  const cells = new Map(
    [...other.notebook.cells, ...session.model.cells.value].map((cell) => [cell.id, cell]),
  );
  const place = (id: string | undefined) => {
    const cell = id === undefined ? undefined : cells.get(id);
    const question = cell && tagOf(cell)?.question;
    return question ? `Question ${question}` : 'Outside the questions';
  };
  return changed.map(({ id, here, there }) => (
    <li key={id}>
      <p>{place(id)}</p>
      <div>
        <h3>Here</h3>
        <pre>{textOf(here)}</pre>
      </div>
      <div>
        <h3>The other version</h3>
        <pre>{textOf(there)}</pre>
      </div>
    </li>
  ));
}

const textOf = (source: string | undefined) =>
  source === undefined ? '(not there)' : source || '(empty)';

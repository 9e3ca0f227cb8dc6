import { useEffect, useRef } from 'preact/hooks';
import { studentNumberCell, tagOf } from '../../notebook/notebook';
import type { Session } from '../sheet/session';
import type { Part } from '../sheet/working';
import { useStore } from '../store';
import { Act } from './act';
import { focusCell } from './focus';
import { openPhotograph } from './open-photograph';

/** Offers cells of the student's own: working above the question's own working, working or a note below the part. */
export function AddCell({ part, session }: { part: Part; session: Session }) {
  const box = useRef<HTMLDetailsElement>(null);
  const last = part.cells.at(-1);
  if (!last) return null;
  const work = part.cells.find(
    (cell) => tagOf(cell)?.role === 'work' && cell.id !== studentNumberCell,
  );
  const done = (id: string) => {
    if (box.current) box.current.open = false;
    focusCell(id);
  };
  return (
    <details class="add-own" ref={box}>
      <summary
        aria-label={part.question ? `Add working or a note, question ${part.question}` : undefined}
      >
        Add working or a note
      </summary>
      <div class="row">
        {work && (
          <Act onClick={() => done(session.added.addAbove(work.id, 'working'))}>
            Working above yours
          </Act>
        )}
        <Act onClick={() => done(session.added.addBelow(last.id, 'working'))}>Working here</Act>
        <Act onClick={() => done(session.added.addBelow(last.id, 'note'))}>A note here</Act>
        <Act
          onClick={() => {
            const id = session.added.addBelow(last.id, 'working');
            openPhotograph.set(id);
            done(id);
          }}
        >
          A photograph here
        </Act>
      </div>
    </details>
  );
}

/** Takes a cell of the student's own out; the notice that follows puts it back. */
export function RemoveCell({
  id,
  label,
  session,
}: {
  id: string;
  label: string;
  session: Session;
}) {
  return (
    <Act quiet onClick={() => session.added.remove(id)} label={`Remove: ${label}`}>
      Remove
    </Act>
  );
}

/** Says that a cell was taken out, and puts it back when asked to, whatever ran meanwhile. */
export function RemovedNotice({ session }: { session: Session }) {
  const removed = useStore(session.added.removed);
  const button = useRef<HTMLButtonElement>(null);
  const last = removed.at(-1);
  // The button that was pressed is gone with its cell: the keyboard goes on here.
  useEffect(() => {
    if (document.activeElement === document.body) button.current?.focus({ preventScroll: true });
  }, [last]);
  if (!last) return null;
  const back = () => {
    const id = session.added.putBack();
    if (id) focusCell(id);
  };
  return (
    <p class="notice" role="status">
      {last.cell.cell_type === 'code' ? 'Working of your own' : 'A note of your own'} was removed.{' '}
      <button type="button" class="quiet" ref={button} onClick={back}>
        Put it back
      </button>{' '}
      <button type="button" class="quiet" onClick={() => session.added.forget()}>
        Close
      </button>
    </p>
  );
}

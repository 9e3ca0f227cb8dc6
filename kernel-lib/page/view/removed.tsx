import { useEffect, useRef } from 'preact/hooks';
import { useStore } from '../net/store';
import { focusCell } from '../sheet/focus-cell';
import type { Session } from '../sheet/session';

/** Says that a cell was taken out, and puts it back when asked to, whatever ran meanwhile. */
export function Removed({ session }: { session: Session }) {
  const removed = useStore(session.own.removed);
  const button = useRef<HTMLButtonElement>(null);
  const last = removed.at(-1);
  // The button that was pressed is gone with its cell: the keyboard goes on here.
  useEffect(() => {
    if (document.activeElement === document.body) button.current?.focus({ preventScroll: true });
  }, [last]);
  if (!last) return null;
  const back = () => {
    const id = session.own.putBack();
    if (id) focusCell(id);
  };
  return (
    <p class="notice" role="status">
      {last.cell.cell_type === 'code' ? 'Working of your own' : 'A note of your own'} was removed.{' '}
      <button type="button" class="quiet" ref={button} onClick={back}>
        Put it back
      </button>{' '}
      <button type="button" class="quiet" onClick={() => session.own.forget()}>
        Close
      </button>
    </p>
  );
}

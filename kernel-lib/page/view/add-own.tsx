import { useRef } from 'preact/hooks';
import { markOf } from '../../notebook/marks';
import { studentNumberCell } from '../../notebook/student-number';
import { focusCell } from '../sheet/focus-cell';
import type { Part } from '../sheet/parts';
import type { Session } from '../sheet/session';
import { Act } from './act';

/** Offers cells of the student's own: working above the question's own working, working or a note below the part. */
export function AddOwn({ part, session }: { part: Part; session: Session }) {
  const box = useRef<HTMLDetailsElement>(null);
  const last = part.cells.at(-1);
  if (!last) return null;
  const work = part.cells.find(
    (cell) => markOf(cell)?.role === 'work' && cell.id !== studentNumberCell,
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
          <Act onClick={() => done(session.own.addAbove(work.id, 'working'))}>
            Working above yours
          </Act>
        )}
        <Act onClick={() => done(session.own.addBelow(last.id, 'working'))}>Working here</Act>
        <Act onClick={() => done(session.own.addBelow(last.id, 'note'))}>A note here</Act>
      </div>
    </details>
  );
}

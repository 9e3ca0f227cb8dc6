import type { Session } from '../sheet/session';
import { Act } from './act';

/** Takes a cell of the student's own out; the notice that follows puts it back. */
export function RemoveOwn({ id, label, session }: { id: string; label: string; session: Session }) {
  return (
    <Act quiet onClick={() => session.own.remove(id)} label={`Remove: ${label}`}>
      Remove
    </Act>
  );
}

import { markOf } from '../../notebook/marks';
import { useStore } from '../net/store';
import type { Session } from '../sheet/session';
import { Conflict } from './conflict';
import { Removed } from './removed';

/** Sentences about what the reader must know now, between bar and sheet. */
export function Notices({ session }: { session: Session }) {
  const saved = useStore(session.saver.state);
  const kernel = useStore(session.link.state);
  const notice = useStore(session.notice);
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
          The desk does not answer, so nothing can be run. Your text is safe; this page goes on
          trying. If the window with the desk was closed, start it again there.
        </p>
      )}
      {kernel.kind === 'ended' && (
        <p class="notice" role="alert">
          {kernel.why}
        </p>
      )}
      {stopped && <Stopped session={session} {...stopped} />}
      <Removed session={session} />
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

function Stopped({ session, cell, left }: { session: Session; cell: string; left: number }) {
  const found = session.model.cell(cell);
  const question = found && markOf(found)?.question;
  const rest = left === 1 ? 'One more step was not run.' : `${left} more steps were not run.`;
  return (
    <p class="notice" role="status">
      Stopped at an error{' '}
      {question ? <a href={`#q-${question}`}>in question {question}</a> : 'at the top of the sheet'}
      . {rest}
    </p>
  );
}

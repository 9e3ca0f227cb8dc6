import { markOf } from '../../notebook/marks';
import type { CodeCell } from '../../notebook/notebook';
import { sourceOf } from '../../notebook/text';
import type { Session } from '../sheet/session';
import { isChangedSince } from '../sheet/working';
import { useStore } from '../store';

interface Props {
  cell: CodeCell;
  session: Session;
  state: 'running' | 'waiting' | 'still';
}

/** A few words beside a cell's button: what it is doing, or that its outputs are of an earlier text. */
export function CellNote({ cell, session, state }: Props) {
  const mark = markOf(cell);
  if (state !== 'still')
    return <span class="note">{state === 'running' ? 'running …' : 'waiting its turn'}</span>;
  if (mark?.role === 'answer' && mark.question !== undefined)
    return <CheckedNote question={mark.question} session={session} />;
  const before = session.runner.state.value.ran.get(cell.id);
  const changed = before !== undefined && before !== sourceOf(cell);
  return <span class="note">{changed && 'changed since it ran'}</span>;
}

function CheckedNote({ question, session }: { question: string; session: Session }) {
  const cells = useStore(session.model.cells);
  return <span class="note">{isChangedSince(cells, question) && 'working changed since'}</span>;
}

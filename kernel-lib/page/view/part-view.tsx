import { memo } from 'preact/compat';
import { markOf } from '../../notebook/marks';
import type { Cell } from '../../notebook/notebook';
import type { Part } from '../sheet/parts';
import type { QuestionRow } from '../sheet/question-rows';
import type { Session } from '../sheet/session';
import { CodeCellView } from './code-cell-view';
import { MarkBox } from './mark-box';
import { TextView } from './text-view';
import { WrittenView } from './written-view';

interface Props {
  part: Part;
  row: QuestionRow | undefined;
  session: Session;
}

/** One question in its frame, or the text between two. */
export function PartView({ part, row, session }: Props) {
  const cells = part.cells.map((cell) => <CellView key={cell.id} cell={cell} session={session} />);
  if (part.question === undefined || !row) return <div class="part">{cells}</div>;
  const id = `q-${part.question}`;
  return (
    <section class="part question" id={id} aria-label={`Question ${part.question}`}>
      <MarkBox row={row} />
      {cells}
    </section>
  );
}

const CellView = memo(({ cell, session }: { cell: Cell; session: Session }) => {
  if (cell.cell_type === 'code') return <CodeCellView cell={cell} session={session} />;
  if (cell.cell_type === 'raw') return <pre class="raw">{[cell.source].flat().join('')}</pre>;
  const locked = cell.metadata.editable === false;
  if (!locked || markOf(cell)?.role === 'written')
    return <WrittenView cell={cell} session={session} />;
  return <TextView cell={cell} />;
});

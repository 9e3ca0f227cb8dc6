import { memo } from 'preact/compat';
import { markOf } from '../../notebook/marks';
import type { Cell } from '../../notebook/notebook';
import type { Part } from '../sheet/parts';
import type { QuestionRow } from '../sheet/question-rows';
import type { Session } from '../sheet/session';
import { AddOwn } from './add-own';
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
  const { question } = part;
  const cells = part.cells.map((cell) => (
    <CellView key={cell.id} cell={cell} question={question} session={session} />
  ));
  const add = <AddOwn part={part} session={session} />;
  if (question === undefined || !row)
    return (
      <div class="part">
        {cells}
        {add}
      </div>
    );
  const id = `q-${question}`;
  return (
    <section class="part question" id={id} aria-label={`Question ${question}`}>
      <MarkBox row={row} />
      {cells}
      {add}
    </section>
  );
}

interface CellProps {
  cell: Cell;
  question: string | undefined;
  session: Session;
}

const CellView = memo(({ cell, question, session }: CellProps) => {
  if (cell.cell_type === 'code')
    return <CodeCellView cell={cell} question={question} session={session} />;
  if (cell.cell_type === 'raw') return <pre class="raw">{[cell.source].flat().join('')}</pre>;
  const locked = cell.metadata.editable === false;
  if (!locked || markOf(cell)?.role === 'written')
    return <WrittenView cell={cell} question={question} session={session} />;
  return <TextView cell={cell} />;
});

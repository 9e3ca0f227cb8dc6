import type { QuestionRow } from '../sheet/question-rows';

/** `2 / 2`, `– / 2` while the answer is not yet right or given, `· / 3` while it is decided later. */
export function marksWords({ state, marks, outOf }: QuestionRow): string {
  if (outOf === undefined) return '–';
  if (state === 'recorded' || state === 'written') return `· / ${outOf}`;
  return state === 'open' || state === 'to write' ? `– / ${outOf}` : `${marks ?? '–'} / ${outOf}`;
}

/** The box in the margin where a marker would write. */
export function MarkBox({ row }: { row: QuestionRow }) {
  return (
    <div class="mark-box" data-state={row.state}>
      <div class="box">{marksWords(row)}</div>
      <div class="under">marks</div>
      <div class="word">{row.state}</div>
    </div>
  );
}

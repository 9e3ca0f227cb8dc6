import { useEffect, useState } from 'preact/hooks';
import type { HandedIn } from '../../travels/handed-in';
import { type QuestionRow, totals } from '../sheet/standing';
import { HandedInWords } from './handed-in';

interface RailProps {
  rows: readonly QuestionRow[];
  handedIn: HandedIn | undefined;
}

/** All questions with their state in words and their marks. */
export function Rail({ rows, handedIn }: RailProps) {
  const here = useWhereReading(rows);
  if (rows.length === 0) return <div class="rail" />;
  const { marks, later, outOf, done, count } = totals(rows);
  return (
    <nav class="rail" aria-labelledby="rail-title">
      <h2 id="rail-title">Questions</h2>
      <ol>
        {rows.map((row) => (
          <li key={row.id} data-state={row.state} data-older={row.changed}>
            <a href={`#q-${row.id}`} aria-current={row.id === here ? 'location' : undefined}>
              <span class="id">{row.id}</span>
              <span class="state">
                {row.state}
                {row.changed && <small>working changed since</small>}
              </span>
              <span class="marks">{marksWords(row)}</span>
            </a>
          </li>
        ))}
      </ol>
      <p>
        {done} of {count} done. {marks} of {outOf} marks so far
        {later > 0 ? `, ${later} decided later` : ''}.
      </p>
      {handedIn && <HandedInWords handedIn={handedIn} />}
    </nav>
  );
}

/** The question worked on; without one in sight, the last that reaches into the upper half of the window. */
function useWhereReading(rows: readonly QuestionRow[]): string | undefined {
  const [here, setHere] = useState<string>();
  const ids = rows.map(({ id }) => id).join(' ');
  useEffect(() => {
    const inView = new Set<string>();
    const look = () => {
      const focused = document.activeElement?.closest('.question')?.id.slice('q-'.length) ?? '';
      setHere(inView.has(focused) ? focused : ids.split(' ').findLast((id) => inView.has(id)));
    };
    const watch = new IntersectionObserver(
      (entries) => {
        for (const { target, isIntersecting } of entries) {
          const id = target.id.slice('q-'.length);
          if (isIntersecting) inView.add(id);
          else inView.delete(id);
        }
        look();
      },
      { rootMargin: '-10% 0px -55% 0px' },
    );
    for (const id of ids.split(' ')) {
      const part = document.getElementById(`q-${id}`);
      if (part) watch.observe(part);
    }
    document.addEventListener('focusin', look);
    return () => {
      watch.disconnect();
      document.removeEventListener('focusin', look);
    };
  }, [ids]);
  return here;
}

/** `2 / 2`, `– / 2` while the answer is not yet right or given, `· / 3` while it is decided later. */
function marksWords({ state, marks, outOf }: QuestionRow): string {
  if (outOf === undefined) return '–';
  if (state === 'recorded' || state === 'written') return `· / ${outOf}`;
  return state === 'open' || state === 'to write' ? `– / ${outOf}` : `${marks ?? '–'} / ${outOf}`;
}

/** The box in the margin where a marker would write. */
export function MarkBox({ row }: { row: QuestionRow }) {
  return (
    <div class="mark-box" data-state={row.state} data-older={row.changed}>
      <div class="box">{marksWords(row)}</div>
      <div class="under">marks</div>
      <div class="word">{row.state}</div>
      {row.changed && <div class="since">working changed since</div>}
    </div>
  );
}

import type { StillOpen } from '../sheet/hand-in';

interface Props {
  open: readonly StillOpen[];
  /** Called before a link leads to the question. */
  onGo: () => void;
}

/** What a student should know before handing in, question by question. */
export function StillOpenList({ open, onGo }: Props) {
  if (open.length === 0)
    return <p>Every question has its answer, and each stands as it was last checked.</p>;
  return (
    <>
      <p>{open.length === 1 ? 'One question is' : `${open.length} questions are`} still open:</p>
      <ul class="still-open">
        {open.map(({ question, asks, says }) => (
          <li key={question}>
            <a href={`#q-${question}`} onClick={onGo}>
              {question} {asks}
            </a>
            <span>{says}</span>
          </li>
        ))}
      </ul>
    </>
  );
}

import type { Verdict } from '../../questions/verdict';

const words = { agrees: 'Agrees.', 'not yet': 'Not yet.', recorded: 'Recorded.' };

/** What was found of an answer: in a word, by the shape of the line, and only then by colour. */
export function VerdictView({ verdict }: { verdict: Verdict }) {
  const { state, message } = verdict;
  return (
    <div class="verdict" data-state={state}>
      <p>
        <b>{words[state]}</b> {message}
      </p>
    </div>
  );
}

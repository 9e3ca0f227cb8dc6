import { useState } from 'preact/hooks';
import type { ComparedClasses } from '../../../marking/compare-classes';
import { ask } from './ask';

const shareSaid = (share: number) => `${Math.round(100 * share)} %`;

/** This class beside another one, question by question. */
export function Compared({ folder }: { folder: string }) {
  const [other, setOther] = useState('');
  const [found, setFound] = useState<ComparedClasses>();
  const [fault, setFault] = useState('');
  const compare = async (event: Event) => {
    event.preventDefault();
    try {
      setFound(await ask.compare(folder, other));
      setFault('');
    } catch (error) {
      setFound(undefined);
      setFault((error as Error).message);
    }
  };
  return (
    <section class="paper" aria-labelledby="compared">
      <h2 id="compared">Beside another class</h2>
      <p class="soft">
        Another folder of marks, such as last year’s: questions are told by sheet and number. Shares
        are of the marks that could be earned.
      </p>
      <form class="row" onSubmit={compare}>
        <input
          class="folder"
          aria-label="Folder of the other class’s marks"
          autoComplete="off"
          spellcheck={false}
          value={other}
          onInput={(event) => setOther(event.currentTarget.value)}
        />
        <button type="submit">Compare</button>
      </form>
      <p class="fault" role="alert">
        {fault}
      </p>
      {found && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: it scrolls, and the keyboard must reach it
        <section class="sample" tabIndex={0} aria-label="Both classes">
          <table>
            <thead>
              <tr>
                {['question', 'here', 'there', 'difference'].map((head) => (
                  <th key={head}>{head}</th>
                ))}
              </tr>
            </thead>
            <tbody>
              {found.questions.map((one) => (
                <tr key={`${one.sheet} ${one.question}`}>
                  <td>
                    {one.question} {one.asks}
                    {one.askedThen !== undefined && ` (there: ${one.askedThen})`}
                  </td>
                  <td>
                    {shareSaid(one.now.facility)} of {one.now.returns}
                  </td>
                  <td>
                    {shareSaid(one.before.facility)} of {one.before.returns}
                  </td>
                  <td>{differenceSaid(one)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </section>
      )}
      {found && found.onlyNow.length > 0 && <p>Only here: {found.onlyNow.join(', ')}.</p>}
      {found && found.onlyThen.length > 0 && <p>Only there: {found.onlyThen.join(', ')}.</p>}
    </section>
  );
}

function differenceSaid({ difference, uncertainty }: ComparedClasses['questions'][number]): string {
  const points = `${difference < 0 ? '−' : '+'}${Math.round(100 * Math.abs(difference))}`;
  if (uncertainty === null) return `${points} points`;
  const isSmall = Math.abs(difference) <= 2 * uncertainty;
  const told = `${points} ± ${Math.round(100 * uncertainty)} points`;
  return isSmall ? `${told}: no more than chance may do` : told;
}

import { useEffect, useRef } from 'preact/hooks';
import { codeCard } from '../text/code-card';

/** The code that the sheets need, on ten lines. */
export function CodeCard() {
  return (
    <table class="code-card">
      <tbody>
        {codeCard.map(({ code, is, shows }) => (
          <tr key={code}>
            <td>
              <code>{code}</code>
            </td>
            <td>
              {is}
              {shows !== undefined && (
                <>
                  {' '}
                  → <code>{shows}</code>
                </>
              )}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** The card behind a word in the bar; it stays open while one types, until it is closed. */
export function CodeCardInBar() {
  const box = useRef<HTMLDetailsElement>(null);
  useEffect(() => {
    const close = (event: KeyboardEvent) => {
      if (event.key !== 'Escape' || !box.current?.open) return;
      const isInside = box.current.contains(document.activeElement);
      box.current.open = false;
      if (isInside) box.current.querySelector('summary')?.focus();
    };
    addEventListener('keydown', close);
    return () => removeEventListener('keydown', close);
  }, []);
  return (
    <details class="card-in-bar" ref={box}>
      <summary>The code you need</summary>
      <div class="card-sheet">
        <CodeCard />
        <p>Rest the mouse on a name, or press F1 in it, to read what it does. More is in Help.</p>
      </div>
    </details>
  );
}

import { useEffect, useState } from 'preact/hooks';

/** Signs that lie deep in the keyboard of a phone, with what a screen reader calls them. */
const signs = [
  ['(', 'open round bracket'],
  [')', 'close round bracket'],
  ['[', 'open square bracket'],
  [']', 'close square bracket'],
  ['*', 'times'],
  ['/', 'divided by'],
  ['=', 'equals'],
  ['.', 'point'],
  [',', 'comma'],
] as const;

const isEditor = (element: Element | null) =>
  element?.closest('.code-cell')?.contains(element) === true &&
  element.matches('.cm-content[contenteditable="true"], textarea.still');

/** Where a finger types code: a row of signs just above the keyboard. */
export function KeyRow() {
  const [isTyping, setTyping] = useState(false);
  const [below, setBelow] = useState(0);

  useEffect(() => {
    if (!matchMedia('(pointer: coarse)').matches) return;
    const look = () => setTyping(isEditor(document.activeElement));
    // The focus is nowhere for a moment when it goes from one place to another.
    const lookLater = () => setTimeout(look);
    document.addEventListener('focusin', look);
    document.addEventListener('focusout', lookLater);
    return () => {
      document.removeEventListener('focusin', look);
      document.removeEventListener('focusout', lookLater);
    };
  }, []);

  // A keyboard covers the lower part of the window without making it smaller.
  useEffect(() => {
    const view = window.visualViewport;
    if (!isTyping || !view) return;
    const place = () => setBelow(Math.max(0, innerHeight - view.height - view.offsetTop));
    place();
    view.addEventListener('resize', place);
    view.addEventListener('scroll', place);
    return () => {
      view.removeEventListener('resize', place);
      view.removeEventListener('scroll', place);
    };
  }, [isTyping]);

  if (!isTyping) return null;
  return (
    <div
      class="key-row"
      role="toolbar"
      aria-label="Signs to type"
      data-keyboard={below > 60}
      style={{ bottom: `${below}px` }}
      // The editor keeps the focus, and with it the keyboard stays.
      onPointerDown={(event) => event.preventDefault()}
      onMouseDown={(event) => event.preventDefault()}
    >
      {signs.map(([sign, name]) => (
        <button key={sign} type="button" tabIndex={-1} aria-label={name} onClick={() => put(sign)}>
          {sign}
        </button>
      ))}
    </div>
  );
}

/** As if it were typed: the editor takes it back as with any key. */
function put(sign: string): void {
  document.execCommand('insertText', false, sign);
}

import { useEffect, useRef } from 'preact/hooks';
import type { RunState } from '../sheet/runner';

/** What the running cell asks of the reader, with a box for the answer. */
export function AskBox({ asked }: { asked: NonNullable<RunState['asked']> }) {
  const box = useRef<HTMLInputElement>(null);
  useEffect(() => box.current?.focus(), [asked]);
  return (
    <form
      class="asked"
      // Shift+Enter is Enter here: the cell is at work already.
      onKeyDown={(event) => event.stopPropagation()}
      onSubmit={(event) => {
        event.preventDefault();
        asked.answer(box.current?.value ?? '');
      }}
    >
      <label>
        <span>{asked.question || 'The cell asks for a line of text.'}</span>
        <input ref={box} type="text" autocomplete="off" />
      </label>
      <button type="submit" class="main">
        Answer
      </button>
    </form>
  );
}

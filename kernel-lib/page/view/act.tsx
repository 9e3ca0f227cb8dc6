import type { ComponentChildren } from 'preact';

interface Props {
  onClick: () => void;
  /** Nothing to do now. The button keeps the focus: taken away, the keyboard would start over at the top. */
  off?: boolean;
  main?: boolean;
  /** Stands back behind the others. */
  quiet?: boolean;
  label?: string;
  children: ComponentChildren;
}

/** A button that does something to a cell or to the sheet. */
export function Act({ onClick, off = false, main = false, quiet = false, label, children }: Props) {
  return (
    <button
      type="button"
      class={main ? 'main' : quiet ? 'quiet' : ''}
      aria-disabled={off}
      aria-label={label}
      onClick={() => off || onClick()}
    >
      {children}
    </button>
  );
}

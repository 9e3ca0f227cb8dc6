/** Move the focus to the next place where something can be typed or run, below this one. */
export function focusAfter(cell: HTMLElement): void {
  const cells = [...document.querySelectorAll<HTMLElement>('.code-cell, .written')];
  const next = cells[cells.indexOf(cell) + 1];
  const target = next?.querySelector<HTMLElement>(
    '.code:not(.locked) .cm-content, textarea, .acts button',
  );
  target?.focus({ preventScroll: true });
  next?.scrollIntoView({ block: 'nearest' });
}

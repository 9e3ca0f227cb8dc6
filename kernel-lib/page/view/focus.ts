const patience = 60;

/** Move the focus into a cell as soon as it stands there: a new one is drawn, and its editor fetched, a little later. */
export function focusCell(id: string, frames = patience): void {
  const frame = document.querySelector<HTMLElement>(`[data-cell="${CSS.escape(id)}"]`);
  const target = frame?.querySelector<HTMLElement>('.cm-content, textarea');
  if (target) {
    target.focus({ preventScroll: true });
    frame?.scrollIntoView({ block: 'nearest' });
  } else if (frames > 0) requestAnimationFrame(() => focusCell(id, frames - 1));
}

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

let pressed = false;
let waiting: (() => void)[] = [];

const released = () => {
  pressed = false;
  const all = waiting;
  waiting = [];
  // The click follows the release in the same task.
  setTimeout(() => {
    for (const one of all) one();
  });
};
addEventListener('pointerdown', () => (pressed = true), { capture: true });
addEventListener('pointerup', released, { capture: true });
addEventListener('pointercancel', released, { capture: true });

/** Do something that moves the page about, but not between press and release: the click would miss its button. */
export function afterPress(work: () => void): void {
  if (pressed) waiting.push(work);
  else work();
}

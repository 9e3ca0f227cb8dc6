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

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

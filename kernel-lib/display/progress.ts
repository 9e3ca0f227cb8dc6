import { asBundle, type MimeBundle } from './bundle';
import { escapeText } from './escape-text';
import { openDisplay } from './open-display';

/** A bar is drawn anew after this time, ms; more often nobody reads it. */
const pause = 100;

function inWords(seconds: number): string {
  if (seconds < 1) return 'less than 1 s';
  if (seconds < 100) return `${Math.round(seconds)} s`;
  const minutes = Math.round(seconds / 60);
  return minutes < 100 ? `${minutes} min` : `${Math.round(minutes / 60)} h`;
}

function barOf(done: number, of: number, note: string): MimeBundle {
  const text = `${done} of ${of}${note ? `, ${note}` : ''}`;
  const bar = `<progress value="${done}" max="${Math.max(of, 1)}" aria-label="${escapeText(text)}"></progress>`;
  return { 'text/plain': text, 'text/html': `<p>${bar} ${escapeText(text)}</p>` };
}

/**
 * Go through a long loop with a bar below the cell: how far it is, and about how long the rest will take if it goes
 * on at the pace so far.
 *
 * @param steps a whole number n ≥ 0, for 0 … n − 1; or a list, for what is in it
 * @returns what a `for … of` loop goes through
 * @throws RangeError when n is no whole number from 0 to 2⁵³ − 1
 * @example
 * let sum = 0;
 * for (const order of progress(4)) sum += order;
 * sum // 6
 * @example [...progress([5, 8, 16])].length // 3
 */
export function progress(steps: number): Generator<number, void, undefined>;
export function progress<T>(steps: Iterable<T>): Generator<T, void, undefined>;
export function progress<T>(steps: number | Iterable<T>): Generator<number | T, void, undefined> {
  if (typeof steps === 'number' && (!Number.isSafeInteger(steps) || steps < 0))
    throw new RangeError(
      `progress(n) goes through 0 … n − 1 and takes a whole number from 0, or a list; ${steps} was given.`,
    );
  return typeof steps === 'number' ? through(upTo(steps), steps) : throughList([...steps]);
}

function* upTo(n: number): Generator<number> {
  for (let i = 0; i < n; i += 1) yield i;
}

const throughList = <T>(list: T[]) => through(list, list.length);

function* through<T>(items: Iterable<T>, of: number): Generator<T, void, undefined> {
  const place = openDisplay();
  const began = performance.now();
  let drawn = began;
  let done = 0;
  const draw = (note: string) => place.show({ [asBundle]: () => barOf(done, of, note) });
  draw('');
  try {
    for (const item of items) {
      yield item;
      done += 1;
      const now = performance.now();
      if (now - drawn < pause || done === of) continue;
      drawn = now;
      const left = ((now - began) / done) * (of - done);
      draw(`about ${inWords(left / 1000)} left`);
    }
  } finally {
    // Also where the loop is left early.
    const took = inWords((performance.now() - began) / 1000);
    draw(done === of ? `done in ${took}` : `stopped after ${took}`);
  }
}

import { asBundle, escapeText, isShowable, type MimeBundle, type Showable } from './bundle';

/** Where shown things go. The kernel puts its own here; without a kernel the plain text is printed. */
export interface DisplayPort {
  /** @param id by which what is shown can be changed later */
  show(bundle: MimeBundle, metadata?: Record<string, unknown>, id?: string): void;
  /** Put another bundle in the place of what was shown under `id`. Without this, changes are not seen. */
  update?(id: string, bundle: MimeBundle, metadata?: Record<string, unknown>): void;
  /** Take away what the cell has shown; with `wait`, when the next thing comes. */
  clear?(wait: boolean): void;
  /** Ask the person at the screen. Left out where nobody is there. */
  ask?(question: string): Promise<string>;
  /** Nobody looks: `show` is never called, and what is drawn only when shown is not drawn. */
  readonly silent?: boolean;
}

const printPlainText: DisplayPort = {
  show(bundle) {
    console.log(String(bundle['text/plain'] ?? ''));
  },
};

let port: DisplayPort = printPlainText;

/**
 * Send all that is shown from now on to `next`; `undefined` goes back to printing.
 *
 * @returns the port before
 * @example
 * const shown = [];
 * const before = setDisplayPort({ show: (bundle) => shown.push(bundle['text/plain']) });
 * show({ [asBundle]: () => ({ 'text/plain': 'two slits' }) });
 * setDisplayPort(before);
 * shown[0] // 'two slits'
 */
export function setDisplayPort(next: DisplayPort | undefined): DisplayPort {
  const before = port;
  port = next ?? printPlainText;
  return before;
}

/** The port that is in use now. */
const displayPort = (): DisplayPort => port;

/** Show one mime bundle. Given a function, it is called only when the bundle goes anywhere. */
export function emit(
  bundle: MimeBundle | (() => MimeBundle),
  metadata?: Record<string, unknown>,
): void {
  if (port.silent) return;
  port.show(typeof bundle === 'function' ? bundle() : bundle, metadata);
}

/** A place below the cell that shows one thing at a time. */
export interface Display {
  /** Show this in the place of what was there. */
  show(what: Showable | (() => Showable) | string): void;
}

let count = 0;

function bundleOf(what: unknown): MimeBundle {
  const shown = typeof what === 'function' ? what() : what;
  if (typeof shown === 'string') return { 'text/plain': shown };
  if (isShowable(shown)) return shown[asBundle]();
  const given = shown === null ? 'null' : Array.isArray(shown) ? 'an array' : typeof shown;
  throw new TypeError(
    `A display shows a figure or a text, but ${given} was given: pass what patternPlot(…) or another figure function returns.`,
  );
}

/**
 * Open a place below the cell whose content can be changed again and again, by this and later cells: for an
 * animation, or a figure that follows a calculation. It appears when something is first shown in it. The
 * page changes it without taking it away, so nothing flickers; in a tight loop some pictures are left out, never
 * the last.
 *
 * @throws TypeError when shown anything that cannot show itself
 * @example
 * const seen = [];
 * const note = (bundle) => seen.push(bundle['text/plain']);
 * const before = setDisplayPort({ show: note, update: (_id, bundle) => note(bundle) });
 * const place = openDisplay();
 * for (const order of [0, 1, 2]) place.show(`order ${order}`);
 * setDisplayPort(before);
 * seen.join() // 'order 0,order 1,order 2'
 */
export function openDisplay(): Display {
  count += 1;
  const id = `multislit-${Date.now().toString(36)}-${count}`;
  let isThere = false;
  return {
    show(what) {
      const port = displayPort();
      if (port.silent) return;
      const bundle = bundleOf(what);
      if (isThere) port.update?.(id, bundle);
      else port.show(bundle, {}, id);
      isThere = true;
    },
  };
}

/**
 * Take away what this cell has printed and shown so far. With `wait` it stays until the next thing comes, so that
 * nothing flickers.
 *
 * @example clearOutput({ wait: true }) // undefined
 */
export function clearOutput({ wait = false }: { wait?: boolean } = {}): void {
  const port = displayPort();
  if (!port.silent) port.clear?.(wait);
}

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

/**
 * Ask the person at the screen for a line of text: a box with the question appears below the cell, and the cell waits.
 *
 * @param question what stands above the box
 * @returns what was typed, as text
 * @throws Error where nobody is there to answer: while a sheet is run from the command line, proved or marked, and in
 *   front ends without such a box
 * @example
 * // In a cell: const width = Number(await prompt('Width in µm?'));
 * const before = setDisplayPort({ show() {}, ask: async () => '40' });
 * const answer = prompt('Width in µm?');
 * setDisplayPort(before);
 * answer instanceof Promise // true
 */
export function prompt(question = ''): Promise<string> {
  const { ask, silent } = displayPort();
  if (ask && !silent) return ask(String(question));
  return Promise.reject(
    new Error(
      'prompt(…) asks a person, and nobody is there to answer while a sheet is run, proved or marked. Write the value into the cell instead.',
    ),
  );
}

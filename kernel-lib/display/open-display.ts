import { asBundle, isShowable, type MimeBundle, type Showable } from './bundle';
import { displayPort } from './port';

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
 * const place = openDisplay();
 * for (const order of [0, 1, 2]) place.show(`order ${order}`);
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

import type { MimeBundle } from './bundle';

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
export const displayPort = (): DisplayPort => port;

/** Show one mime bundle. Given a function, it is called only when the bundle goes anywhere. */
export function emit(
  bundle: MimeBundle | (() => MimeBundle),
  metadata?: Record<string, unknown>,
): void {
  if (port.silent) return;
  port.show(typeof bundle === 'function' ? bundle() : bundle, metadata);
}

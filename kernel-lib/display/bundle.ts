/** A Jupyter mime bundle: the same thing in several formats; the client shows the richest that it knows. */
export type MimeBundle = { readonly [mimeType: string]: unknown };

/**
 * An object with this method knows how to show itself as the last value of a cell.
 *
 * @example linePlot({ x: [0, 1], y: [0, 1] }, { x: { quantity: 'x', unit: 'm' }, y: { quantity: 'y', unit: '1' } })[asBundle]()['text/plain'].length > 20 // true
 */
export const asBundle: unique symbol = Symbol.for('multislit.bundle') as never;

/** Whatever can show itself: figures, film strips, benches. */
export interface Showable {
  [asBundle](): MimeBundle;
}

/** True for anything that can show itself. */
export function isShowable(value: unknown): value is Showable {
  return (
    typeof value === 'object' &&
    value !== null &&
    typeof (value as Partial<Showable>)[asBundle] === 'function'
  );
}

const signs: Record<string, string> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };

/** Text made safe inside HTML or SVG, and inside a quoted attribute of them. */
export const escapeText = (text: string): string => text.replace(/[&<>"]/g, (sign) => signs[sign]);

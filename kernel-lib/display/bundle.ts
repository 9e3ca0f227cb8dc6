/** A Jupyter mime bundle: the same thing in several formats, the richest last resort first chosen by the client. */
export type MimeBundle = { readonly [mimeType: string]: unknown };

/** An object with this method knows how to show itself as the last value of a cell. */
export const asBundle: unique symbol = Symbol.for('multislit.bundle') as never;

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

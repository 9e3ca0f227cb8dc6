import { inspect } from 'node:util';
import { asBundle, isShowable, type MimeBundle, type Showable } from '../display/bundle';
import { attempt, withoutHolder } from './describe-thrown';

const plain = { depth: 4, maxArrayLength: 100, maxStringLength: 10_000, breakLength: 80 };

/** A bundle as JSON can carry it: bytes become base64. */
export function plainBundle(bundle: MimeBundle): MimeBundle {
  return Object.fromEntries(
    Object.entries(bundle).map(([type, data]) => [
      type,
      data instanceof Uint8Array ? Buffer.from(data).toString('base64') : data,
    ]),
  );
}

/** Whether a cell's last value is shown. A timer's handle, what a cell ends with that sets one, says nothing. */
export function isShown(value: unknown): boolean {
  if (value === undefined) return false;
  const made = attempt(() => (value as object | null)?.constructor?.name, undefined);
  return made !== 'Timeout' && made !== 'Immediate';
}

/**
 * A cell's last value as a mime bundle: what it says of itself, otherwise its text.
 *
 * @throws what the value itself throws when it is looked at
 */
export function valueBundle(value: unknown): MimeBundle {
  if (attempt(() => isShowable(value), false)) return plainBundle((value as Showable)[asBundle]());
  return { 'text/plain': withoutHolder(inspect(value, plain)) };
}

import { inspect } from 'node:util';
import { asBundle, isShowable, type MimeBundle } from '../display/bundle';

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

/** A cell's last value as a mime bundle: what it says of itself, otherwise its text. */
export function valueBundle(value: unknown): MimeBundle {
  if (isShowable(value)) return plainBundle(value[asBundle]());
  return { 'text/plain': inspect(value, plain) };
}

import { inspect } from 'node-inspect-extracted';

// As the platform has them, whatever cells do to promises.
const { then } = Promise.prototype;
const { call } = Function.prototype;
const onSettled: (
  promise: Promise<unknown>,
  kept: (value: unknown) => void,
  broken: (why: unknown) => void,
) => Promise<void> = call.bind(then as never);

/** How a promise came out. */
interface Settled {
  readonly word: string;
  readonly value: unknown;
}

const settled = new WeakMap<object, Settled>();

/** Asks a promise how it stands: in a browser it tells that to who waits for it, and to nobody else. */
export async function askPromise(value: unknown): Promise<void> {
  if (!(value instanceof Promise)) return;
  try {
    void onSettled(
      value,
      (kept) => settled.set(value, { word: '', value: kept }),
      (why) => settled.set(value, { word: '<rejected> ', value: why }),
    );
  } catch {
    // An object that only calls itself a promise is shown as it is.
    return;
  }
  // One that has come out says so before this goes on.
  await undefined;
}

/** A value in words as Node has it, with the value of a promise that was asked. */
export function inspectSettled(value: unknown, options?: object): string {
  const known = settled.get(value as object);
  if (!known) return inspect(value, options);
  // A set of one is laid out as a promise is, within other braces.
  return inspect(new Set([known.value]), options).replace(/^Set\(1\) \{\s/, (braces) =>
    braces.replace('Set(1)', 'Promise').concat(known.word),
  );
}

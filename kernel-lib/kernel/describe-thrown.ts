import { inspect } from 'node:util';

/** A name and a sentence for something that was thrown. */
export interface Described {
  readonly ename: string;
  readonly evalue: string;
}

/** A message is longer than this only by mistake, in UTF-16 units. */
const longestName = 200;
const longestMessage = 20_000;
const unreadable = 'what was thrown cannot be read: looking at it throws an error itself';

/** What `read` gives. Whatever it looks at may run a cell's code, which may throw: then `otherwise`. */
export function attempt<T>(read: () => T, otherwise: T): T {
  try {
    return read();
  } catch {
    return otherwise;
  }
}

const holder =
  /\(0 ?, \$cells(?:\$\d+)?\.([\p{ID_Continue}$]+)\)|\$cells(?:\$\d+)?\.([\p{ID_Continue}$]+)/gu;

/** The engine's messages name the object that holds the variables; readers know the variables alone. */
export const withoutHolder = (text: string): string =>
  text.includes('$cells') ? text.replace(holder, '$1$2') : text;

const cut = (text: string, most: number) =>
  text.length > most ? `${text.slice(0, most)} …` : text;

/** The text of a property, as an error's heading would have it; undefined where it has none that can be read. */
function textOf(thrown: unknown, name: 'name' | 'message'): string | undefined {
  return attempt(() => {
    const value: unknown = (thrown as Record<string, unknown>)[name];
    return value === undefined ? undefined : String(value);
  }, undefined);
}

const isError = (thrown: unknown): boolean => attempt(() => thrown instanceof Error, false);

/** Never throws, whatever was thrown. */
export function describeThrown(thrown: unknown): Described {
  const isObject = (typeof thrown === 'object' && thrown !== null) || typeof thrown === 'function';
  const name = isObject ? textOf(thrown, 'name') : undefined;
  const message = isObject ? textOf(thrown, 'message') : undefined;
  const isLikeError = typeof thrown === 'object' && name !== undefined && message !== undefined;
  if (isError(thrown) || isLikeError)
    return {
      ename: cut(name || 'Error', longestName),
      evalue: cut(withoutHolder(message ?? unreadable), longestMessage),
    };
  const text = attempt(() => inspect(thrown), unreadable);
  return { ename: 'Thrown', evalue: cut(withoutHolder(text), longestMessage) };
}

/** `Error.prototype.toString`, which never throws here. */
export function headingOf(error: unknown): string {
  const { ename, evalue } = describeThrown(error);
  return evalue === '' ? ename : `${ename}: ${evalue}`;
}

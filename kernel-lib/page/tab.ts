/** A few words that last as long as this tab does; for one visit only where the browser keeps none. */
const here = new Map<string, string>();

export function tabWord(name: string): string | null {
  try {
    return sessionStorage.getItem(name);
  } catch {
    return here.get(name) ?? null;
  }
}

/** @param word null takes it away */
export function keepTabWord(name: string, word: string | null): void {
  try {
    if (word === null) sessionStorage.removeItem(name);
    else sessionStorage.setItem(name, word);
  } catch {
    if (word === null) here.delete(name);
    else here.set(name, word);
  }
}

/** A name that nobody else has: 122 random bits as a UUID of version 4, to be had on any address, https or not. */
export function freshName(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('');
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5');
}

/** Words that outlast the tab. One that finds no room is not kept, and that is all. */
interface LastingWords extends Pick<Storage, 'getItem' | 'setItem' | 'removeItem'> {
  names(): string[];
}

/** Undefined where the browser keeps none. */
export function lastingWords(): LastingWords | undefined {
  try {
    const { localStorage } = globalThis;
    return (
      localStorage && {
        getItem: (name) => localStorage.getItem(name),
        setItem(name, word) {
          try {
            localStorage.setItem(name, word);
          } catch {}
        },
        removeItem: (name) => localStorage.removeItem(name),
        names: () => Object.keys(localStorage),
      }
    );
  } catch {
    return undefined;
  }
}

/** To be had on https and on one's own machine alone. */
export const lockManager = (): LockManager | undefined =>
  (navigator as { locks?: LockManager }).locks;

/** The names of all locks that tabs of this origin hold; none where that cannot be asked. */
export async function heldLocks(): Promise<ReadonlySet<string>> {
  const asked = await lockManager()
    ?.query()
    .catch(() => undefined);
  return new Set(asked?.held?.flatMap(({ name }) => name ?? []));
}

/** Words between tabs of this origin; undefined where the browser has none. */
export function channel(name: string): BroadcastChannel | undefined {
  try {
    return new BroadcastChannel(name);
  } catch {
    return undefined;
  }
}

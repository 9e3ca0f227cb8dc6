/** Keeps what was found out under a key as long as there is room, and forgets first what was asked for longest ago. */
export interface Remembered<Value> {
  get(key: string): Value | undefined;
  /** @param size room that it takes, in the unit of the limit */
  set(key: string, value: Value, size: number): void;
  clear(): void;
}

/**
 * A memory with a limit.
 *
 * @param most room for all values together; a value larger than that is not kept
 * @example const known = remembered<number>(2); known.set('a', 1, 1); known.get('a') // 1
 */
export function remembered<Value>(most: number): Remembered<Value> {
  const kept = new Map<string, { readonly value: Value; readonly size: number }>();
  let taken = 0;

  function forget(key: string): void {
    taken -= kept.get(key)?.size ?? 0;
    kept.delete(key);
  }

  return {
    get(key) {
      const found = kept.get(key);
      if (!found) return undefined;
      // A Map keeps the order of insertion: what was asked for last comes last.
      kept.delete(key);
      kept.set(key, found);
      return found.value;
    },
    set(key, value, size) {
      forget(key);
      if (size > most) return;
      kept.set(key, { value, size });
      taken += size;
      for (const oldest of kept.keys()) {
        if (taken <= most) break;
        forget(oldest);
      }
    },
    clear() {
      kept.clear();
      taken = 0;
    },
  };
}

import { useEffect, useReducer } from 'preact/hooks';

/** A value that parts of the page look at. */
export class Store<T> {
  private readonly listeners = new Set<() => void>();

  constructor(private current: T) {}

  get value(): T {
    return this.current;
  }

  set(next: T): void {
    if (Object.is(next, this.current)) return;
    this.current = next;
    for (const listener of [...this.listeners]) listener();
  }

  subscribe(listener: () => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }
}

/** The store's value; the component is drawn again when it changes. */
export function useStore<T>(store: Store<T>): T {
  const [, redraw] = useReducer((count: number) => count + 1, 0);
  useEffect(() => {
    redraw(undefined as never);
    return store.subscribe(() => redraw(undefined as never));
  }, [store]);
  return store.value;
}

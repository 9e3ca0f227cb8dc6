import { useEffect, useReducer, useRef, useState } from 'preact/hooks';

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

/** A part of a store's value; the component is drawn again only when that part changes. */
export function useValue<T, Part>(store: Store<T>, part: (value: T) => Part): Part {
  const [, redraw] = useReducer((count: number) => count + 1, 0);
  const value = part(store.value);
  const seen = useRef(value);
  seen.current = value;
  const latest = useRef(part);
  latest.current = part;
  useEffect(() => {
    const look = () => {
      if (!Object.is(latest.current(store.value), seen.current)) redraw(undefined as never);
    };
    look();
    return store.subscribe(look);
  }, [store]);
  return value;
}

/** The store's value once it has not changed for so many ms: for what nobody reads while a slider moves. */
export function useSettled<T>(store: Store<T>, after: number): T {
  const [value, setValue] = useState(() => store.value);
  useEffect(() => {
    let timer: ReturnType<typeof setTimeout> | undefined;
    const wait = () => {
      clearTimeout(timer);
      timer = setTimeout(() => setValue(() => store.value), after);
    };
    wait();
    const stop = store.subscribe(wait);
    return () => {
      clearTimeout(timer);
      stop();
    };
  }, [store, after]);
  return value;
}

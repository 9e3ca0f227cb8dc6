import { useEffect, useReducer, useRef } from 'preact/hooks';
import type { Store } from '../net/store';

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

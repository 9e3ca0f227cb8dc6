import { useEffect, useState } from 'preact/hooks';
import type { Store } from '../net/store';

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

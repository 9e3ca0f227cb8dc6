/** The value of `make`, made at the first call and kept: tables are read, figures drawn, only when asked for. */
export function once<T>(make: () => T): () => T {
  let made: { value: T } | undefined;
  return () => {
    made ??= { value: make() };
    return made.value;
  };
}

/** A function that computes when it is first called and then remembers: figures are drawn only when looked at. */
export function once<Value extends object | string>(compute: () => Value): () => Value {
  let value: Value | undefined;
  return () => {
    value ??= compute();
    return value;
  };
}

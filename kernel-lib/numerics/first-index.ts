/**
 * Index of the first element for which `holds` is true, by halving; the length if there is none.
 *
 * @param list elements in such an order that `holds` is false up to some place and true from there on
 * @example firstIndex(Float64Array.of(1, 2, 5), (x) => x > 1) // 1
 */
export function firstIndex(list: Float64Array, holds: (element: number) => boolean): number {
  let [low, high] = [0, list.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (holds(list[middle])) high = middle;
    else low = middle + 1;
  }
  return low;
}

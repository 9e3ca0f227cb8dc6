/**
 * True when two numbers differ by one slip of the fingers: a digit changed, left out or doubled in, or two neighbours
 * exchanged (the four kinds that Damerau counted; from memory).
 *
 * @example isOneSlip('204117', '204171') // true
 */
export function isOneSlip(a: string, b: string): boolean {
  if (a === b || Math.abs(a.length - b.length) > 1) return false;
  let i = 0;
  while (i < a.length && a[i] === b[i]) i += 1;
  const [restA, restB] = [a.slice(i), b.slice(i)];
  if (a.length > b.length) return restA.slice(1) === restB;
  if (a.length < b.length) return restA === restB.slice(1);
  const isExchanged =
    restA[0] === restB[1] && restA[1] === restB[0] && restA.slice(2) === restB.slice(2);
  return restA.slice(1) === restB.slice(1) || isExchanged;
}

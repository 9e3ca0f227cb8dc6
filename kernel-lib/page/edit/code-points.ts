/** The protocol counts code points, strings here count UTF-16 units: an emoji is one of the former, two of the latter. */
export function codePointsBefore(text: string, index: number): number {
  let count = 0;
  for (const _ of text.slice(0, index)) count += 1;
  return count;
}

/** The inverse: where in the string the n-th code point begins. */
export function indexOfCodePoint(text: string, count: number): number {
  let index = 0;
  let seen = 0;
  for (const point of text) {
    if (seen === count) break;
    index += point.length;
    seen += 1;
  }
  return index;
}

/** Text out of parsed JSON, cut, without control characters or halves of characters; '' for anything else. */
export function plainText(value: unknown, longest: number): string {
  if (typeof value !== 'string') return '';
  return value.slice(0, Math.max(0, longest)).replace(/[^\P{Cc}\n\t]|\p{Cs}/gu, ' ');
}

/** Stands for an answer of which only the kind came through: no question takes it. */
export class Unreadable {
  constructor(readonly kind: string) {}
}

/** What kind of thing was handed in, for a sentence. */
export function kindOf(answer: unknown): string {
  if (answer instanceof Unreadable) return answer.kind;
  if (typeof answer === 'function') return 'a function';
  if (Array.isArray(answer)) return `a list of ${answer.length}`;
  if (ArrayBuffer.isView(answer)) return `a list of ${(answer as Float64Array).length}`;
  if (typeof answer === 'boolean') return `the word ${answer}`;
  if (typeof answer === 'bigint') return 'a bigint (a number that ends in n)';
  if (typeof answer === 'string') return 'text in quotes';
  if (answer instanceof Promise) return 'a promise (put await before it)';
  if (typeof answer === 'object') return 'an object';
  return `a ${typeof answer}`;
}

/** An own property of a thing out of JSON; nothing is ever read from a prototype. */
export function own(value: unknown, name: string): unknown {
  return typeof value === 'object' && value !== null && Object.hasOwn(value, name)
    ? (value as Record<string, unknown>)[name]
    : undefined;
}

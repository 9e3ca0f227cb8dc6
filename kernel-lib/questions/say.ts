/** Any value as short text, also one that refuses to become text. */
export function say(value: unknown, otherwise: string, longest = 200): string {
  try {
    const text = String(value).slice(0, longest);
    return text.startsWith('[object') ? otherwise : text;
  } catch {
    return otherwise;
  }
}

/** What an error says, or whatever else was thrown. */
export function sayError(error: unknown): string {
  return say(error instanceof Error ? error.message : error, 'an unknown error');
}

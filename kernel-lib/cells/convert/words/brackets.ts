const closing: Readonly<Record<string, string>> = { '(': ')', '[': ']', '{': '}' };

/** A bracket or a quote that stands open. */
export interface Open {
  readonly at: number;
  readonly sign: string;
}

interface Read {
  /** Brackets that stand open at the end of the text, the innermost last. */
  readonly open: readonly Open[];
  /** Closing brackets that close nothing, or something of another form. */
  readonly stray: readonly Open[];
  /** A quote that is not closed on its line, or a backquote that is not closed at all. */
  readonly quote?: Open;
}

/** Where the string that opens at `from` ends: behind its closing quote. */
function endOfString(text: string, from: number): number | undefined {
  const sign = text[from];
  for (let at = from + 1; at < text.length; at += 1) {
    if (text[at] === '\\') at += 1;
    else if (text[at] === sign) return at + 1;
    else if (text[at] === '\n' && sign !== '`') return undefined;
  }
  return undefined;
}

/** Read brackets and quotes of a text, past its comments; brackets in strings count for nothing. */
export function readBrackets(text: string, upTo = text.length): Read {
  const open: Open[] = [];
  const stray: Open[] = [];
  let at = 0;
  while (at < upTo) {
    const sign = text[at];
    if (text.startsWith('//', at)) {
      const line = text.indexOf('\n', at);
      at = line < 0 ? text.length : line;
    } else if (text.startsWith('/*', at)) {
      const end = text.indexOf('*/', at + 2);
      at = end < 0 ? text.length : end + 2;
    } else if (sign === "'" || sign === '"' || sign === '`') {
      const end = endOfString(text, at);
      if (end === undefined) return { open, stray, quote: { at, sign } };
      at = end;
    } else {
      if (sign in closing) open.push({ at, sign });
      else if (sign === ')' || sign === ']' || sign === '}') {
        const last = open.at(-1);
        if (last && closing[last.sign] === sign) open.pop();
        else stray.push({ at, sign });
      }
      at += 1;
    }
  }
  return { open, stray };
}

/** The sign that closes a bracket. */
export const closes = (sign: string): string => closing[sign] ?? sign;

/** The innermost bracket that stands open before a place. */
export const innermost = (source: string, at: number): string | undefined =>
  readBrackets(source, at).open.at(-1)?.sign;

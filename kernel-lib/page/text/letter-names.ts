// In the place of `entities` in bundles for browsers: names of letters as HTML has them (&lambda;) every browser knows.

const reader = document.createElement('textarea');

/** A text with names of letters, as HTML reads it: `&lambda;` is λ. */
export function decodeHTML(text: string): string {
  // Nothing in it is markup: a field holds text only.
  reader.innerHTML = text;
  return reader.textContent ?? '';
}

/** The same for one name with its semicolon; `&notit;`, of which old pages mean the beginning, is none. */
export function decodeHTMLStrict(name: string): string {
  const read = decodeHTML(name);
  return read.endsWith(';') && name !== '&semi;' ? name : read;
}

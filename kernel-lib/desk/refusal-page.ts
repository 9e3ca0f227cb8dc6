import { escapeText } from '../display/escape-text';

// As attributes: a page that is refused gets no style sheet either.
const body =
  'margin:3rem auto;max-width:44rem;padding:0 1rem;background:#e9e6dd;color:#1d2430;font:17px/1.55 Georgia,serif';

/** A page that says in one sentence why there is no other. */
export const refusalPage = (message: string): string =>
  `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>Worksheets</title><body style="${body}"><h1>Worksheets</h1><p>${escapeText(message)}</p></html>`;

/** A page that goes on to `path` by itself, as a step of this site's own. */
export const entrancePage = (path: string): string =>
  `<!doctype html><html lang="en"><meta charset="utf-8"><meta http-equiv="refresh" content="0;url=${escapeText(path)}"><title>Worksheets</title><body style="${body}"><p><a href="${escapeText(path)}">Open the worksheets</a></p></html>`;

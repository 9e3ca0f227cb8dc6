import { escapeHtml } from '../questions/verdict-bundle';

/** A page that says in one sentence why there is no other. */
export const refusalPage = (message: string): string =>
  `<!doctype html><html lang="en"><meta charset="utf-8"><title>Worksheets</title><h1>Worksheets</h1><p>${escapeHtml(message)}</p></html>`;

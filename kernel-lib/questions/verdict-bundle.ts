import { escapeText, type MimeBundle } from '../display/bundle';

import type { SheetState } from './sheet-state';
import { progressLine } from './sheet-state';
import type { State, Verdict } from './verdict';

/** The verdict as data, for the page and the marker. */
export const verdictMimeType = 'application/vnd.multislit.verdict+json';

/** Word and shape first, colour second: a whole line agrees, a double one is not yet, a dotted one is recorded. */
const looks: Record<State, { word: string; line: string; colour: string }> = {
  agrees: { word: 'Agrees.', line: 'solid', colour: '#1e6b3c' },
  'not yet': { word: 'Not yet.', line: 'double', colour: '#8a4b08' },
  recorded: { word: 'Recorded.', line: 'dotted', colour: '#1f4b99' },
};

/** Show one verdict: as data, as HTML that stands by itself, and as text. */
export function verdictBundle(verdict: Verdict, state: SheetState): MimeBundle {
  const { word, line, colour } = looks[verdict.state];
  const progress = progressLine(verdict, state);
  const box = `margin:8px 0 0;padding:8px 14px;border-left:5px ${line} ${colour};background:#fff;color:#1d2430;font-size:16px;line-height:1.5;overflow-wrap:anywhere`;
  return {
    [verdictMimeType]: { ...verdict, progress, sheet: state },
    'text/html':
      `<div role="status" style="${box}"><b style="color:${colour}">${word}</b> ${escapeText(verdict.message)}` +
      `<div style="margin-top:2px;color:#5c6470;font-size:14px">${escapeText(progress)}</div></div>`,
    'text/plain': `${word} ${verdict.message}\n${progress}`,
  };
}

/** A sentence that is no verdict: `check` before `begin`, a question that the sheet does not have. */
export function noticeBundle(message: string): MimeBundle {
  const box =
    'margin:8px 0 0;padding:8px 14px;border:1px dashed #8a4b08;background:#fff;color:#1d2430';
  return {
    'text/html': `<div role="status" style="${box}">${escapeText(message)}</div>`,
    'text/plain': message,
  };
}

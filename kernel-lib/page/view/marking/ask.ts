import type { ChangeInHistory, LookedThrough, MarkingStart } from '../../../marking/looked-through';
import type { ShownAnswer } from '../../../marking/shown-answer';
import { call } from '../../net/desk-files';

const path = (what: string, words: Readonly<Record<string, string>> = {}) => {
  const query = new URLSearchParams(words).toString();
  return `/marking/ask/${what}${query === '' ? '' : `?${query}`}`;
};

/** Where an answer stands. */
export interface Place {
  readonly student: string;
  readonly sheet: string;
  readonly question: string;
}

/** A mark to be set at some places; `seen` is what stood there when it was decided. */
export interface ToSet {
  readonly places: readonly (Place & { readonly seen: number | null })[];
  readonly marks: number | null;
  readonly reason: string;
  readonly by: string;
}

/** What the page asks of its desk. Whatever fails is a `StoreError` with a sentence for the reader. */
export const ask = {
  start: () => call<MarkingStart>('GET', path('start')),
  look: (folder: string) => call<LookedThrough>('GET', path('look', { folder })),
  answer: (folder: string, { student, sheet, question }: Place) =>
    call<ShownAnswer>('GET', path('answer', { folder, student, sheet, question })),
  history: (folder: string) => call<readonly ChangeInHistory[]>('GET', path('history', { folder })),
  set: (folder: string, what: ToSet) =>
    call<LookedThrough>('POST', path('marks', { folder }), what),
  undo: (folder: string, change: number, by: string) =>
    call<LookedThrough>('POST', path('undo', { folder }), { change, by }),
};

import type { RatiosTold, WholeTold } from '../../../marking/class-whole';
import type { ComparedClasses } from '../../../marking/compare-classes';
import type { ExportProfile } from '../../../marking/export-table';
import type { ExtraLine } from '../../../marking/late';
import type {
  ChangeInHistory,
  ClassToSet,
  GoingBackTold,
  LookedThrough,
  MarkingStart,
  RosterTaken,
  RunState,
  WhatCameIn,
} from '../../../marking/looked-through';
import type { AnswerShown, AnswerToRead, Difference, ReadingTold } from '../../../marking/readings';
import type { RosterColumns } from '../../../marking/roster';
import type { ShownAnswer } from '../../../marking/shown-answer';
import type { SideBySide } from '../../../marking/side-by-side';
import type { Entry } from '../../../marking/written-table';
import { call, server } from '../../net/desk-files';

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

/** Bring a file to the desk as it is. */
async function send<Answer>(address: string, file: File): Promise<Answer> {
  const answer = await fetch(address, {
    method: 'POST',
    body: file,
    credentials: 'same-origin',
  }).catch(() => {
    throw new Error(`${server} does not answer, or ${file.name} cannot be read.`);
  });
  const found = await answer.json().catch(() => ({}));
  if (!answer.ok) throw new Error(found.message ?? `${file.name} was refused (${answer.status}).`);
  return found;
}
type Asked = Pick<Place, 'sheet' | 'question'>;
/** A reading of a written answer. */
type ToRead = Asked & { readonly code: string; readonly by: string; readonly entered: Entry };

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
  whole: (folder: string) => call<WholeTold>('GET', path('whole', { folder })),
  ratios: (folder: string, sheet: string) =>
    call<readonly RatiosTold[]>('GET', path('whole/ratios', { folder, sheet })),
  pair: (folder: string, sheet: string, one: string, other: string) =>
    call<SideBySide>('GET', path('whole/pair', { folder, sheet, one, other })),
  reading: (folder: string, by: string) =>
    call<ReadingTold>('GET', path('reading', { folder, by })),
  toRead: (folder: string, { sheet, question }: Asked, by: string) =>
    call<readonly AnswerToRead[]>('GET', path('reading/answers', { folder, sheet, question, by })),
  answerToRead: (folder: string, { sheet, question }: Asked, code: string) =>
    call<AnswerShown>('GET', path('reading/answer', { folder, sheet, question, code })),
  differences: (folder: string, { sheet, question }: Asked) =>
    call<readonly Difference[]>('GET', path('reading/differences', { folder, sheet, question })),
  read: (folder: string, what: ToRead) =>
    call<{ code: string }>('POST', path('reading', { folder }), what),
  settle: (folder: string, what: ToRead & { readonly settles: string }) =>
    call<{ code: string }>('POST', path('reading', { folder }), { ...what, settle: true }),
  takeBackReading: (folder: string, by: string) =>
    call<Asked & { code: string }>('POST', path('reading', { folder }), { by, undo: true }),
  back: (folder: string) => call<GoingBackTold>('GET', path('back', { folder })),
  page: (folder: string, student: string) =>
    call<{ html: string }>('GET', path('page', { folder, student })),
  /** Where all students' pages lie in one zip. */
  pagesAddress: (folder: string) => path('pages', { folder }),
  keepProfile: (folder: string, profile: ExportProfile) =>
    call<readonly ExportProfile[]>('POST', path('profile', { folder }), profile),
  came: (folder: string) => call<WhatCameIn>('GET', path('came', { folder })),
  /** @param student '' leaves the file out; undefined takes back what was said */
  say: (folder: string, file: string, student: string | undefined, reason: string) =>
    call<WhatCameIn>('POST', path('said', { folder }), { path: file, student, reason }),
  /** Keep what is set, and list what came in by it. */
  setUp: (folder: string, what: ClassToSet) =>
    call<WhatCameIn>('POST', path('class', { folder }), what),
  grant: (folder: string, line: Omit<ExtraLine, 'days'> & { days: number | null }) =>
    call<WhatCameIn>('POST', path('days', { folder }), line),
  /** What came in, where something else lies among the returns by now. */
  watch: (folder: string) =>
    call<{ came: WhatCameIn | null }>('POST', path('watch', { folder }), {}),
  roster: (folder: string, file: File, columns: RosterColumns) =>
    send<{ taken: RosterTaken; came?: WhatCameIn }>(
      path('roster', { folder, columns: JSON.stringify(columns) }),
      file,
    ),
  compare: (folder: string, other: string) =>
    call<ComparedClasses>('GET', path('compare', { folder, with: other })),
  run: (folder: string, what: ClassToSet) => call<RunState>('POST', path('run', { folder }), what),
  running: (folder: string) => call<RunState | null>('GET', path('run', { folder })),
  stop: (folder: string) => call<WhatCameIn>('POST', path('stop', { folder }), {}),
  async drop(folder: string, returns: string, name: string, file: File): Promise<string> {
    const words = { folder, returns, path: name, modified: `${file.lastModified}` };
    const { told } = await send<{ told: string }>(path('drop', words), file);
    return told;
  },
};

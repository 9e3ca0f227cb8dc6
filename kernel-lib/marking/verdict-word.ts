import type { QuestionMark } from './judge-return';

const words = { agrees: 'Agrees.', 'not yet': 'Not yet.', 'to be read': 'To be read.' } as const;

/** The word that leads a mark in; '' where a person gave it, since the marks say enough then. */
export function verdictWord({ state, follows, isRead, changed }: QuestionMark): string {
  if (changed || isRead) return '';
  return follows === undefined ? words[state] : `Follows from ${follows}.`;
}

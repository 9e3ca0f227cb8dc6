import type { AnyKey, AnyOpenQuestion } from './sheet';

/** The questions of a sheet that can be judged by value, in order: open ones as they are, sealed ones as the key opens them. */
export function openForms(key: AnyKey): AnyOpenQuestion[] {
  return key.sheet.questions.flatMap((question) => {
    if (question.kind === 'written') return [];
    return [question.kind === 'sealed' ? key.sealed[question.id] : question];
  });
}

import type { Command } from 'commander';
import { markWords } from './mark/mark-options';

/** `multislit mark RETURNS --to FOLDER`: every return marked or listed with its reason. */
export const markCommand = (): Command =>
  markWords(async (returns, words) => {
    // Loaded only here: it brings a compiler along, for which the other commands would wait.
    const { markReturns } = await import('./mark/mark-returns');
    await markReturns(returns, words);
  });

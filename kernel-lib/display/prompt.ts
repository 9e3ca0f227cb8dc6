import { displayPort } from './port';

/**
 * Ask the person at the screen for a line of text: a box with the question appears below the cell, and the cell waits.
 *
 * @param question what stands above the box
 * @returns what was typed, as text
 * @throws Error where nobody is there to answer: while a sheet is run from the command line, proved or marked, and in
 *   front ends without such a box
 * @example
 * const before = setDisplayPort({ show() {}, ask: async (question) => (question === 'Width in µm?' ? '40' : '') });
 * const typed = await prompt('Width in µm?');
 * setDisplayPort(before);
 * typed // '40'
 */
export function prompt(question = ''): Promise<string> {
  const { ask, silent } = displayPort();
  if (ask && !silent) return ask(String(question));
  return Promise.reject(
    new Error(
      'prompt(…) asks a person, and nobody is there to answer while a sheet is run, proved or marked. Write the value into the cell instead.',
    ),
  );
}

import type { Output } from '../../notebook/notebook';

/** Where in a cell something went wrong; line and column count from 1. */
export interface ErrorPlace {
  readonly line: number;
  readonly column: number;
  readonly message: string;
}

/** The kernel writes `line 3, column 7`, with the name of the function, cell or file before it when it is another. */
const own = /^(?:\s+at (?:(?!cell \[)[^,]+, )?)?line (\d+), column (\d+)/;

/** The place in this very cell that an error among the outputs names. */
export function placeIn(outputs: readonly Output[]): ErrorPlace | undefined {
  const error = outputs.find((output) => output.output_type === 'error');
  if (error?.output_type !== 'error') return undefined;
  for (const line of (error.traceback ?? []).flatMap((text) => text.split('\n'))) {
    const match = own.exec(line);
    if (match)
      return { line: Number(match[1]), column: Number(match[2]), message: messageOf(error) };
  }
  return undefined;
}

type ErrorOutput = Extract<Output, { output_type: 'error' }>;

/** The error's message without the place, which is shown apart. */
export function messageOf({ evalue }: ErrorOutput): string {
  return evalue.replace(/ \(line \d+, column \d+\)$/, '');
}

import type { CellConverter } from '../cells/convert/converter';

/** What can be asked of the checker. */
export const questions = [
  'convert',
  'declarationsSoFar',
  'complete',
  'inspect',
  'isComplete',
] as const;

type Question = (typeof questions)[number];

export interface Asked {
  readonly id: number;
  readonly question: Question;
  readonly given: readonly unknown[];
}

export type Answered =
  | { readonly id: number; readonly answer: unknown }
  | { readonly id: number; readonly fault: string };

/** The converter behind a port, as if it were here. */
export function remoteConverter(port: MessagePort): CellConverter {
  let last = 0;
  const waiting = new Map<number, { done(answer: never): void; fail(error: Error): void }>();
  const post = port.postMessage.bind(port);
  port.onmessage = ({ data }: MessageEvent<Answered>) => {
    const one = waiting.get(data.id);
    waiting.delete(data.id);
    if ('fault' in data) one?.fail(new Error(data.fault));
    else one?.done(data.answer as never);
  };
  const ask =
    <Given extends readonly unknown[], Answer>(question: Question) =>
    (...given: Given): Promise<Answer> => {
      last += 1;
      const asked: Asked = { id: last, question, given };
      post(asked);
      return new Promise((done, fail) => waiting.set(asked.id, { done, fail }));
    };
  return {
    convert: ask('convert'),
    declarationsSoFar: ask('declarationsSoFar'),
    complete: ask('complete'),
    inspect: ask('inspect'),
    isComplete: ask('isComplete'),
    close: () => port.close(),
  };
}

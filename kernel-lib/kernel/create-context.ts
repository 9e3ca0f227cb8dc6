import type { CommMessage } from '../display/comm';
import { type CellContext, outsideCells } from './cell-context';
import { runtimeError } from './cell-errors';
import { nobodyAnswers } from './cell-library';
import { createOutput, type Output } from './output';

/** A context and what only the session does with it. */
export interface OwnedContext {
  readonly context: CellContext;
  readonly output: ReturnType<typeof createOutput>;
  /** From now on errors are shown where they come, for they no longer end the cell. */
  end(): void;
}

/** The context of one run: where its outputs go, and what an uncaught error does while it runs. */
export function createContext(to: {
  output(output: Output): void;
  comm(message: CommMessage): void;
  ask?(question: string): Promise<string>;
  fail?(error: unknown): void;
}): OwnedContext {
  const output = createOutput((one) => outsideCells(() => to.output(one)));
  const stops = new Set<() => void>();
  let stopped = false;
  let { fail } = to;
  const context: CellContext = {
    get stopped() {
      return stopped;
    },
    write: output.write,
    show: output.show,
    update: output.update,
    ask(question) {
      // Code that caught the end of its wait may ask again and again, and nobody answers a stopped cell.
      if (stopped) return new Promise<never>(() => {});
      output.flush();
      return outsideCells(() => to.ask?.(question) ?? nobodyAnswers());
    },
    clear: output.clear,
    comm: (message) => outsideCells(() => to.comm(message)),
    fail(error) {
      if (fail) fail(error);
      else output.send({ type: 'error', ...runtimeError(error, undefined) });
    },
    onStop(listener) {
      stops.add(listener);
      return () => stops.delete(listener);
    },
    stop() {
      stopped = true;
      for (const stop of [...stops]) stop();
    },
  };
  return {
    context,
    output,
    end: () => {
      fail = undefined;
    },
  };
}

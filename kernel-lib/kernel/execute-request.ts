import { runtimeError } from './cell-errors';
import type { Message } from './message';
import type { CellError, Output } from './output';
import type { RunResult, Session } from './session';
import { valueBundle } from './value-bundle';

/** An execute request at work. */
export interface Execution {
  readonly result: Promise<{
    /** Of the reply. */
    content: Record<string, unknown>;
    /** Whether requests that wait are to be dropped: the cell failed and its sender asked for that. */
    stop: boolean;
  }>;
  /** Keeps back the error that ends this run, until it is known what waits behind it. */
  hold(output: Output, tag: unknown): boolean;
  readonly held: Output | undefined;
}

const flag = (value: unknown, otherwise: boolean) =>
  typeof value === 'boolean' ? value : otherwise;

const failure = ({ ename, evalue, traceback }: CellError) => ({
  status: 'error',
  ename,
  evalue,
  traceback,
});

function valueAnswer(value: unknown): Record<string, unknown> {
  try {
    return { status: 'ok', data: valueBundle(value), metadata: {} };
  } catch (error) {
    return failure(runtimeError(error, undefined));
  }
}

/** Run the cell of an `execute_request` in the session. */
export function executeRequest(
  session: Session,
  { header, content }: Message,
  publish: (type: string, content: Record<string, unknown>) => void,
): Execution {
  let held: Output | undefined;

  async function userExpressions(): Promise<Record<string, unknown>> {
    const asked = Object.entries((content.user_expressions ?? {}) as Record<string, unknown>);
    const answers: Record<string, unknown> = {};
    for (const [name, source] of asked) {
      const { error, value } = await session.run(String(source), { silent: true });
      answers[name] = error ? failure(error) : valueAnswer(value);
    }
    return answers;
  }

  async function run() {
    const { code } = content;
    if (typeof code !== 'string')
      throw new TypeError(
        `An execute_request carries the cell as text in "code"; this one carries ${typeof code}.`,
      );
    const silent = flag(content.silent, false);
    const counted = !silent && flag(content.store_history, true);
    const started = session.run(code, { tag: header, silent, counted });
    if (!silent)
      publish('execute_input', { code, execution_count: session.executionCount + Number(counted) });
    const result: RunResult = await started;
    const base = { execution_count: result.executionCount, payload: [] };
    if (result.error)
      return {
        content: { ...base, user_expressions: {}, ...failure(result.error) },
        stop: flag(content.stop_on_error, true),
      };
    const user_expressions = await userExpressions();
    return { content: { ...base, status: 'ok', user_expressions }, stop: false };
  }

  return {
    result: run(),
    hold(output, tag) {
      if (tag !== header) return false;
      held = output;
      return true;
    },
    get held() {
      return held;
    },
  };
}

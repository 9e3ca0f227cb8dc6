import type { CellError } from '../cells/run/cell-errors';
import { type Output, valueBundle } from '../cells/run/output';
import type { Runtime } from '../cells/run/runtime';
import type { RunResult, Session } from '../cells/run/session';
import { kernelInfo } from './kernelspec';
import { nodeRuntime } from './node-host';
import type { Message } from './wire';

/** A reply to send, or nothing where the protocol has none. */
type Answer = { type: string; content: Record<string, unknown> } | undefined;

function cursor(content: Message['content']): { code: string; offset: number } {
  const { code, cursor_pos } = content;
  if (typeof code !== 'string') throw new TypeError('The request carries no text in "code".');
  const characters = typeof cursor_pos === 'number' ? cursor_pos : code.length;
  return { code, offset: toUnits(code, characters) };
}

async function complete(content: Message['content'], session: Session) {
  const { code, offset } = cursor(content);
  const found = await session.complete(code, offset);
  return {
    status: 'ok',
    matches: found.candidates,
    cursor_start: toCharacters(code, found.start),
    cursor_end: toCharacters(code, found.end),
    metadata: {},
  };
}

async function inspect(content: Message['content'], session: Session) {
  const { code, offset } = cursor(content);
  const text = await session.inspect(code, offset);
  const data = text === undefined ? {} : { 'text/plain': text };
  return { status: 'ok', found: text !== undefined, data, metadata: {} };
}

function comms(content: Message['content']) {
  const wanted = Object.entries(nodeRuntime().library.openComms()).filter(
    ([, target]) => content.target_name === undefined || content.target_name === target,
  );
  return {
    status: 'ok',
    comms: Object.fromEntries(wanted.map(([id, target]) => [id, { target_name: target }])),
  };
}

/** True for what a client sends on a line that is open: it has nothing to wait for. */
export function isForOpenComm({ header, content }: Message): boolean {
  const { msg_type } = header;
  if (msg_type !== 'comm_msg' && msg_type !== 'comm_close') return false;
  return String(content.comm_id) in nodeRuntime().library.openComms();
}

/** The answer to any request on the shell channel but to run a cell or to end. */
export async function answer(
  { header, content, buffers }: Message,
  session: () => Session,
): Promise<Answer> {
  switch (header.msg_type) {
    case 'kernel_info_request':
      return { type: 'kernel_info_reply', content: kernelInfo };
    case 'complete_request':
      return { type: 'complete_reply', content: await complete(content, session()) };
    case 'inspect_request':
      return { type: 'inspect_reply', content: await inspect(content, session()) };
    case 'is_complete_request':
      return {
        type: 'is_complete_reply',
        content: { ...(await session().isComplete(String(content.code ?? ''))) },
      };
    case 'history_request':
      // Notebooks keep their own history; this kernel keeps none.
      return { type: 'history_reply', content: { status: 'ok', history: [] } };
    case 'comm_info_request':
      return { type: 'comm_info_reply', content: comms(content) };
    case 'comm_open':
    case 'comm_msg':
    case 'comm_close': {
      const message = {
        type: header.msg_type,
        id: String(content.comm_id),
        target: String(content.target_name ?? ''),
        data: (content.data ?? {}) as Record<string, unknown>,
        buffers,
      } as const;
      session().within(header, () => nodeRuntime().library.receive(message));
      return undefined;
    }
    default:
      return undefined;
  }
}

/** An execute request at work. */
export interface Execution {
  readonly result: Promise<{
    /** Of the reply. */
    content: Record<string, unknown>;
    /** What goes with it: the variables that the cell reads and sets. */
    metadata?: Record<string, unknown>;
    /** Whether requests that wait are to be dropped: the cell failed and its sender asked for that. */
    stop: boolean;
  }>;
  /** Keeps back the errors that end this run, until it is known what waits behind it. */
  hold(output: Output, tag: unknown): boolean;
  readonly held: readonly Output[];
}

/** A list of texts out of a message; undefined where it holds none. */
const textsIn = (value: unknown): readonly string[] | undefined =>
  Array.isArray(value) ? value.filter((one) => typeof one === 'string') : undefined;

const flag = (value: unknown, otherwise: boolean) =>
  typeof value === 'boolean' ? value : otherwise;

const failure = ({ ename, evalue, traceback }: CellError) => ({
  status: 'error',
  ename,
  evalue,
  traceback,
});

function valueAnswer(value: unknown, { host, errors }: Runtime): Record<string, unknown> {
  try {
    return { status: 'ok', data: valueBundle(value, host), metadata: {} };
  } catch (error) {
    return failure(errors.inWords(error, undefined));
  }
}

/** Run the cell of an `execute_request` in the session. */
export function executeRequest(
  session: Session,
  { header, content, metadata }: Message,
  publish: (type: string, content: Record<string, unknown>) => void,
): Execution {
  const held: Output[] = [];

  async function userExpressions(): Promise<Record<string, unknown>> {
    const asked = Object.entries((content.user_expressions ?? {}) as Record<string, unknown>);
    const answers: Record<string, unknown> = {};
    for (const [name, source] of asked) {
      const { error, value } = await session.run(String(source), { silent: true });
      answers[name] = error ? failure(error) : valueAnswer(value, nodeRuntime());
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
    const { cellId, deletedCells, multislit } = metadata as Record<string, unknown>;
    // A client that comes to a kernel that others have worked with asks what ran.
    if (silent && code === '' && multislit !== undefined) {
      const { executionCount: execution_count } = session;
      const content = { status: 'ok', execution_count, payload: [], user_expressions: {} };
      return { content, metadata: { multislit: { ran: session.ran() } }, stop: false };
    }
    const started = session.run(code, {
      tag: header,
      silent,
      counted,
      cell: typeof cellId === 'string' ? cellId : undefined,
      cells: textsIn((multislit as { cells?: unknown } | undefined)?.cells),
      removed: textsIn(deletedCells),
      // Where a person sits, at a client that does not follow by itself.
      tellsOlder: content.allow_stdin === true && multislit === undefined,
    });
    if (!silent)
      publish('execute_input', { code, execution_count: session.executionCount + Number(counted) });
    const result: RunResult = await started;
    const base = { execution_count: result.executionCount, payload: [] };
    const told = result.names ? { multislit: { names: result.names } } : {};
    if (result.error)
      return {
        metadata: told,
        content: { ...base, user_expressions: {}, ...failure(result.error) },
        stop: flag(content.stop_on_error, true),
      };
    const user_expressions = await userExpressions();
    return { content: { ...base, status: 'ok', user_expressions }, metadata: told, stop: false };
  }

  return {
    result: run(),
    hold(output, tag) {
      if (tag !== header) return false;
      held.push(output);
      return true;
    },
    held,
  };
}

/** Jupyter counts a cursor's position in Unicode characters, JavaScript in UTF-16 units. */
function toUnits(text: string, characters: number): number {
  let units = 0;
  for (let n = 0; n < characters && units < text.length; n += 1)
    units += text.codePointAt(units)! > 0xffff ? 2 : 1;
  return units;
}

/** The position in Unicode characters of an offset in UTF-16 units. */
const toCharacters = (text: string, units: number): number => [...text.slice(0, units)].length;

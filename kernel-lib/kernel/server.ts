import { randomUUID } from 'node:crypto';
import { setImmediate, setTimeout } from 'node:timers';
import { nobodyAnswers } from '../cells/run/cell-context';
import type { Output } from '../cells/run/output';
import type { Session } from '../cells/run/session';
import type { CommMessage } from '../display/comm';
import { address, type Connection } from './connection';
import { nodeSession } from './node-session';
import { answer, type Execution, executeRequest, isForOpenComm } from './requests';
import {
  type Arrived,
  createDecoder,
  createSender,
  type Header,
  type ParentHeader,
  zeromq,
} from './wire';

export interface ServerOptions {
  connection: Connection;
  cwd: string;
  /** Called when a cell starts and when it ends. */
  onCell(): void;
  onShutdown(): void;
}

export interface Server {
  /** Bind the sockets and begin to answer. */
  start(): Promise<void>;
  /** Make the session now, and its converter once nobody waits for a cell. */
  prepare(): void;
  /** Stop the running cell. */
  interrupt(): void;
  /** Publish the kernel's state for a request that another thread answers. */
  status(state: string, parent: ParentHeader): void;
  close(): void;
}

/** Time after an interrupt in which all that goes on by itself has gone on, ms. */
const reviveAfter = 300;
/** So long nothing was asked before the converter is made, ms: cells that were converted ahead run before. */
const quietBefore = 500;
const turn = () => new Promise<void>((done) => setImmediate(done));

/** The kernel's shell, broadcast and input channels, on the thread that runs the cells. */
export function createServer(options: ServerOptions): Server {
  const { connection } = options;
  const sender = createSender(connection.key, randomUUID());
  const { Publisher, Router } = zeromq();
  const shell = sender.prepare(new Router());
  const stdin = sender.prepare(new Router());
  const iopub = sender.prepare(new Publisher());
  const decode = createDecoder(connection.key);
  const waiting: Arrived[] = [];
  const decodeInput = createDecoder(connection.key);
  /** Asked of the reader and not yet answered; one at a time is put. */
  const asked: { readonly question: string; readonly done: (text: string) => void }[] = [];
  let session: Session | undefined;
  let execution: Execution | undefined;
  let working: Arrived | undefined;
  let lastAsked = Date.now();

  const publish = (
    type: string,
    content: Record<string, unknown>,
    parent: ParentHeader,
    metadata?: Record<string, unknown>,
    buffers?: readonly Uint8Array[],
  ) => sender.publish(iopub, type, content, { parent, metadata, buffers });
  const status = (state: string, parent: ParentHeader) =>
    publish('status', { execution_state: state }, parent);

  function publishOutput(output: Output, parent: ParentHeader): void {
    if (output.type === 'error') {
      const { ename, evalue, traceback, place } = output;
      publish(output.type, { ename, evalue, traceback }, parent, place && { multislit: place });
    } else if (output.type === 'execute_result') {
      const { data, metadata, executionCount } = output;
      publish(output.type, { data, metadata, execution_count: executionCount }, parent);
    } else if (output.type === 'display_data' || output.type === 'update_display_data') {
      const { type, data, metadata, id } = output;
      const transient = id === undefined ? {} : { display_id: id };
      publish(type, { data, metadata, transient }, parent);
    } else {
      const { type, ...content } = output;
      publish(type, content, parent);
    }
  }

  function onOutput(output: Output, tag: unknown): void {
    if (output.type === 'error' && execution?.hold(output, tag)) return;
    publishOutput(output, tag as Header);
  }

  function onComm({ type, id, target, data, buffers }: CommMessage, tag: unknown): void {
    const content = { comm_id: id, data, ...(type === 'comm_open' && { target_name: target }) };
    publish(type, content, tag as Header, {}, buffers);
  }

  /** Ask the client that sent the request, on the channel that the protocol has for it. */
  function onAsk(question: string, tag: unknown): Promise<string> {
    const asker = working?.message;
    if (!working || asker?.header !== tag || asker?.content.allow_stdin !== true)
      return nobodyAnswers();
    return new Promise((done) => {
      if (asked.push({ question, done }) === 1) putQuestion();
    });
  }

  function putQuestion(): void {
    if (!working || asked.length === 0) return;
    const request = { prompt: asked[0].question, password: false };
    sender.reply(stdin, working, 'input_request', request);
  }

  async function listenForInput(): Promise<void> {
    for await (const frames of stdin) {
      const arrived = decodeInput(frames as Buffer[]);
      if (arrived?.message.header.msg_type !== 'input_reply') continue;
      asked.shift()?.done(String(arrived.message.content.value ?? ''));
      putQuestion();
    }
  }

  /** The converter keeps this thread busy for a while: not while there is something else to do. */
  function makeConverter(): void {
    const left = quietBefore - (Date.now() - lastAsked);
    if (working || left > 0) setTimeout(makeConverter, Math.max(left, 100));
    // Who asks for it is told what is wrong.
    else
      getSession()
        .prepare()
        .catch(() => {});
  }

  function getSession(): Session {
    session ??= nodeSession({ cwd: options.cwd, onOutput, onComm, onAsk });
    return session;
  }

  async function execute(arrived: Arrived): Promise<void> {
    options.onCell();
    execution = executeRequest(getSession(), arrived.message, (type, content) =>
      publish(type, content, arrived.message.header),
    );
    const { content, metadata, stop } = await execution.result;
    // Nobody waits for what a cell asked that has ended.
    asked.length = 0;
    options.onCell();
    // What was sent while a cell kept this thread busy has yet to be read.
    if (stop) for (let n = 0; n < 3; n += 1) await turn();
    const dropped = stop ? waiting.splice(0) : [];
    const { held } = execution;
    execution = undefined;
    for (const output of held) publishOutput(output, arrived.message.header);
    sender.reply(shell, arrived, 'execute_reply', content, metadata);
    for (const one of dropped) {
      if (one.message.header.msg_type === 'execute_request') abort(one);
      else waiting.push(one);
    }
  }

  function abort(arrived: Arrived): void {
    const parent = arrived.message.header;
    status('busy', parent);
    const content = { status: 'aborted', execution_count: getSession().executionCount };
    sender.reply(shell, arrived, 'execute_reply', content);
    status('idle', parent);
  }

  async function handle(arrived: Arrived): Promise<void> {
    const { header } = arrived.message;
    status('busy', header);
    try {
      if (header.msg_type === 'execute_request') await execute(arrived);
      else if (header.msg_type === 'shutdown_request') {
        const restart = arrived.message.content.restart === true;
        sender.reply(shell, arrived, 'shutdown_reply', { status: 'ok', restart });
        options.onShutdown();
      } else {
        const reply = await answer(arrived.message, getSession);
        if (reply) sender.reply(shell, arrived, reply.type, reply.content);
      }
    } catch (error) {
      const { name, message } = error as Error;
      const type = header.msg_type.replace(/_request$/, '_reply');
      const content = { status: 'error', ename: name, evalue: message, traceback: [message] };
      if (type !== header.msg_type) sender.reply(shell, arrived, type, content);
    }
    lastAsked = Date.now();
    status('idle', header);
  }

  /** One request after the other. Each starts in a callback of its own: see Session.run. */
  async function work(): Promise<void> {
    if (working) return;
    for (let next = waiting.shift(); next; next = waiting.shift()) {
      working = next;
      await handle(next);
      if (working !== next) return;
      working = undefined;
    }
  }

  /** An interrupt may cut off this program's own code in place of a cell's: go on where it left off. */
  function revive(stuck: Arrived | undefined): void {
    listen().catch(() => {});
    listenForInput().catch(() => {});
    if (!stuck || working !== stuck || execution) return;
    working = undefined;
    work();
  }

  async function listen(): Promise<void> {
    for await (const frames of shell) {
      const arrived = decode(frames as Buffer[]);
      if (!arrived) continue;
      if (execution && working && isForOpenComm(arrived.message)) {
        // The cell at work waits, perhaps for this very message.
        const { header } = working.message;
        await handle(arrived);
        if (execution) status('busy', header);
        continue;
      }
      waiting.push(arrived);
      setImmediate(work);
    }
  }

  return {
    status,
    prepare() {
      getSession();
      makeConverter();
    },
    interrupt() {
      session?.interrupt();
      const stuck = working;
      setTimeout(() => revive(stuck), reviveAfter);
    },
    async start() {
      await Promise.all([
        shell.bind(address(connection, 'shell')),
        stdin.bind(address(connection, 'stdin')),
        iopub.bind(address(connection, 'iopub')),
      ]);
      status('starting', {});
      listen().catch(() => {});
      listenForInput().catch(() => {});
    },
    close() {
      for (const socket of [shell, stdin, iopub]) socket.close();
    },
  };
}

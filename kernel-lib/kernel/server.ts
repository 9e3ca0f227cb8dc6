import { randomUUID } from 'node:crypto';
import { setImmediate } from 'node:timers';
import { Publisher, Router } from 'zeromq';
import type { CommMessage } from '../display/comm';
import { address, type Connection } from './connection';
import { type Execution, executeRequest } from './execute-request';
import type { Header, ParentHeader } from './message';
import type { Output } from './output';
import { answer } from './requests';
import { createSender } from './sender';
import { createSession, type Session } from './session';
import { type Arrived, decode } from './wire';

export interface ServerOptions {
  connection: Connection;
  cwd: string;
  /** Called with true when a cell starts and false when it ends. */
  onRunning?(running: boolean): void;
  onShutdown(): void;
}

export interface Server {
  /** Bind the sockets and begin to answer. */
  start(): Promise<void>;
  readonly session: Session;
  /** Publish the kernel's state for a request that another thread answers. */
  status(state: string, parent: ParentHeader): void;
  close(): void;
}

const turn = () => new Promise<void>((done) => setImmediate(done));

/** The kernel's shell, broadcast and input channels, on the thread that runs the cells. */
export function createServer(options: ServerOptions): Server {
  const { connection } = options;
  const sender = createSender(connection.key, randomUUID());
  const shell = sender.prepare(new Router());
  const stdin = sender.prepare(new Router());
  const iopub = sender.prepare(new Publisher());
  const waiting: Arrived[] = [];
  let session: Session | undefined;
  let execution: Execution | undefined;
  let working = false;

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
    } else if (output.type === 'display_data') {
      publish(output.type, { data: output.data, metadata: output.metadata }, parent);
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

  function getSession(): Session {
    session ??= createSession({ cwd: options.cwd, onOutput, onComm, stopOnSignal: true });
    return session;
  }

  async function execute(arrived: Arrived): Promise<void> {
    options.onRunning?.(true);
    execution = executeRequest(getSession(), arrived.message, (type, content) =>
      publish(type, content, arrived.message.header),
    );
    const { content, stop } = await execution.result;
    options.onRunning?.(false);
    // What was sent while a cell kept this thread busy has yet to be read.
    if (stop) for (let n = 0; n < 3; n += 1) await turn();
    const dropped = stop ? waiting.splice(0) : [];
    const { held } = execution;
    execution = undefined;
    if (held) publishOutput(held, arrived.message.header);
    sender.reply(shell, arrived, 'execute_reply', content);
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
        const reply = answer(arrived.message, getSession);
        if (reply) sender.reply(shell, arrived, reply.type, reply.content);
      }
    } catch (error) {
      const { name, message } = error as Error;
      const type = header.msg_type.replace(/_request$/, '_reply');
      const content = { status: 'error', ename: name, evalue: message, traceback: [message] };
      if (type !== header.msg_type) sender.reply(shell, arrived, type, content);
    }
    status('idle', header);
  }

  /** One request after the other. Each starts in a callback of its own: see Session.run. */
  async function work(): Promise<void> {
    if (working) return;
    working = true;
    for (let next = waiting.shift(); next; next = waiting.shift()) await handle(next);
    working = false;
  }

  async function listen(): Promise<void> {
    for await (const frames of shell) {
      const arrived = decode(frames as Buffer[], connection.key);
      if (!arrived) continue;
      waiting.push(arrived);
      setImmediate(work);
    }
  }

  return {
    status,
    get session() {
      return getSession();
    },
    async start() {
      await Promise.all([
        shell.bind(address(connection, 'shell')),
        stdin.bind(address(connection, 'stdin')),
        iopub.bind(address(connection, 'iopub')),
      ]);
      status('starting', {});
      listen().catch(() => {});
    },
    close() {
      for (const socket of [shell, stdin, iopub]) socket.close();
    },
  };
}

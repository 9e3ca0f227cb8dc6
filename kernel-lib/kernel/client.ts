import { type ChildProcess, spawn } from 'node:child_process';
import { randomUUID } from 'node:crypto';
import type { Dealer, Subscriber } from 'zeromq';
import { address, type Connection, newConnection, writeConnection } from './connection';
import { kernelCommand } from './kernelspec';
import { compose, decode, encode, type Message, zeromq } from './wire';

/** Channels that a client sends on. */
export type Channel = 'shell' | 'control' | 'stdin';
/** A message from the kernel, with the channel it came on. */
export type KernelMessage = Message & { channel: Channel | 'iopub' };
/** How the kernel process ended: its exit code, or the signal that ended it. */
export interface KernelExit {
  code: number | null;
  signal: string | null;
  /** The last of what the process wrote to standard error, for a message to a person. */
  stderr: string;
}

/** A running kernel and its channels. */
export interface KernelProcess {
  readonly connection: Connection;
  readonly pid: number;
  /** Sends a whole Jupyter message; `buffers` and `parent_header` may be left out. */
  send(channel: Channel, message: Partial<Message> & Pick<Message, 'header' | 'content'>): void;
  /** A message of this client's own session, ready to send. */
  compose(type: string, content: Record<string, unknown>): Message;
  /** Calls `listener` with every message of every channel; returns the way to stop that. */
  onMessage(listener: (message: KernelMessage) => void): () => void;
  /** Stops what runs, keeping the kernel's state. Resolves when the kernel has answered. */
  interrupt(): Promise<void>;
  /** Asks the kernel to end, and ends it if it does not within two seconds. Resolves when it is gone. */
  shutdown(): Promise<void>;
  /** Ends the process at once. */
  kill(): void;
  /** Calls `listener` once the process has ended, however that came. Returns the way to stop that. */
  onExit(listener: (exit: KernelExit) => void): () => void;
}

/** Where and how a kernel is started. */
export interface LaunchOptions {
  /** Working directory of the cells. */
  cwd: string;
  /** Environment; that of this process unless given. */
  env?: NodeJS.ProcessEnv;
}

const readyWithin = 30_000;
const answerWithin = 2_000;
/** On a busy machine a process that ends of itself takes some seconds. */
const endWithin = 10_000;

/**
 * Start a kernel process and connect to it. Resolves when the kernel answers and its broadcasts arrive.
 *
 * @throws Error when the process ends, or does not answer within 30 seconds, while it starts.
 * @example const kernel = await launchKernel({ cwd: '.' })
 */
export async function launchKernel({ cwd, env }: LaunchOptions): Promise<KernelProcess> {
  // Where the sockets do not load, no process is started.
  const { Dealer, Subscriber } = zeromq();
  const connection = await newConnection();
  const file = writeConnection(connection);
  const [program, ...args] = kernelCommand(file.file);
  const child = spawn(program, args, {
    cwd,
    // By this id the kernel sees when this process is gone.
    env: { ...(env ?? process.env), JPY_PARENT_PID: String(process.pid) },
    stdio: ['ignore', 'ignore', 'pipe'],
    windowsHide: true,
  });
  const sockets = { shell: new Dealer(), control: new Dealer(), stdin: new Dealer() };
  const iopub = new Subscriber({ receiveHighWaterMark: 0 });
  const kernel = connect(connection, child, sockets, iopub, () => file.remove());
  try {
    await ready(kernel);
  } catch (error) {
    kernel.kill();
    throw error;
  }
  return kernel;
}

function connect(
  connection: Connection,
  child: ChildProcess,
  sockets: Record<Channel, Dealer>,
  iopub: Subscriber,
  ended: () => void,
): KernelProcess {
  const session = randomUUID();
  const listeners = new Set<(message: KernelMessage) => void>();
  const exits = new Set<(exit: KernelExit) => void>();
  const sending: Record<Channel, Promise<unknown>> = {
    shell: Promise.resolve(),
    control: Promise.resolve(),
    stdin: Promise.resolve(),
  };
  let exit: KernelExit | undefined;
  let stderr = '';

  const listen = async (channel: KernelMessage['channel'], socket: Dealer | Subscriber) => {
    for await (const frames of socket) {
      const arrived = decode(frames as Buffer[], connection.key);
      if (!arrived) continue;
      for (const listener of [...listeners]) listener({ ...arrived.message, channel });
    }
  };
  const closeAll = () => {
    for (const socket of [...Object.values(sockets), iopub]) if (!socket.closed) socket.close();
  };
  for (const [channel, socket] of Object.entries(sockets) as [Channel, Dealer][]) {
    // One identity on every socket: input requests come back on the stdin channel of whoever asked.
    socket.routingId = session;
    socket.linger = 0;
    socket.connect(address(connection, channel));
    listen(channel, socket).catch(() => {});
  }
  iopub.linger = 0;
  iopub.connect(address(connection, 'iopub'));
  iopub.subscribe();
  listen('iopub', iopub).catch(() => {});

  child.stderr?.setEncoding('utf8').on('data', (text: string) => {
    stderr = (stderr + text).slice(-4000);
  });
  const end = (code: number | null, signal: string | null) => {
    if (exit) return;
    exit = { code, signal, stderr };
    ended();
    closeAll();
    for (const listener of exits) listener(exit);
  };
  child.once('error', (error) => {
    stderr = error.message;
    end(null, null);
  });
  child.once('close', end);

  const kernel: KernelProcess = {
    connection,
    pid: child.pid ?? 0,
    compose: (type, content) => compose(type, content, { session }),
    send(channel, message) {
      if (exit) throw new Error('The kernel has ended; start it again before sending to it.');
      const whole = { parent_header: {}, metadata: {}, buffers: [], ...message };
      const frames = encode(whole, connection.key);
      sending[channel] = sending[channel].then(() => sockets[channel].send(frames)).catch(() => {});
    },
    onMessage(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    async interrupt() {
      await ask(kernel, 'control', 'interrupt_request', {}, answerWithin);
    },
    async shutdown() {
      if (exit) return;
      const gone = new Promise<void>((done) => kernel.onExit(() => done()));
      await ask(kernel, 'control', 'shutdown_request', { restart: false }, answerWithin).catch(
        () => {},
      );
      const timer = setTimeout(() => kernel.kill(), endWithin);
      await gone;
      clearTimeout(timer);
    },
    kill: () => void child.kill('SIGKILL'),
    onExit(listener) {
      if (exit) queueMicrotask(() => listener(exit!));
      else exits.add(listener);
      return () => exits.delete(listener);
    },
  };
  return kernel;
}

/** Send a request and wait for its reply. */
export function ask(
  kernel: KernelProcess,
  channel: Channel,
  type: string,
  content: Record<string, unknown>,
  within = readyWithin,
): Promise<KernelMessage> {
  const request = kernel.compose(type, content);
  return new Promise((done, fail) => {
    const stop = [
      kernel.onMessage((message) => {
        if (message.channel !== channel) return;
        if (message.parent_header.msg_id === request.header.msg_id) finish(() => done(message));
      }),
      kernel.onExit(({ code, signal, stderr }) =>
        finish(() => fail(new Error(`The kernel ended (${signal ?? code}). ${stderr}`.trim()))),
      ),
    ];
    const timer = setTimeout(
      () => finish(() => fail(new Error(`The kernel did not answer ${type} within ${within} ms.`))),
      within,
    );
    const finish = (settle: () => void) => {
      clearTimeout(timer);
      for (const end of stop) end();
      settle();
    };
    kernel.send(channel, request);
  });
}

/** Wait until the kernel replies and one of its broadcasts has come, so that none is missed later. */
async function ready(kernel: KernelProcess): Promise<void> {
  let heard = false;
  const stop = kernel.onMessage(({ channel }) => {
    heard ||= channel === 'iopub';
  });
  try {
    await ask(kernel, 'shell', 'kernel_info_request', {});
    const started = Date.now();
    while (!heard && Date.now() - started < readyWithin) {
      await new Promise((done) => setTimeout(done, 20));
      if (!heard) await ask(kernel, 'shell', 'kernel_info_request', {});
    }
  } finally {
    stop();
  }
}

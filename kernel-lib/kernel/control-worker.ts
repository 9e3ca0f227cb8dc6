import { randomUUID } from 'node:crypto';
import { parentPort, workerData } from 'node:worker_threads';
import { address, type Connection } from './connection';
import { createSharedState, interruptMain, type ToControl, type ToMain } from './control';
import { kernelInfo } from './kernelspec';
import { isAlive } from './processes';
import { type Arrived, createDecoder, createSender, zeromq } from './wire';

// A thread of its own for what must work while a cell keeps the main thread busy: the control channel,
// the heartbeat, and the end of the program that started the kernel.

const { connection, memory } = workerData as { connection: Connection; memory: SharedArrayBuffer };
const state = createSharedState(memory);
const main = parentPort!;
const { Reply, Router } = zeromq();
const sender = createSender(connection.key, randomUUID());
const control = sender.prepare(new Router());
const heartbeat = new Reply();
const endWithin = 1500;

async function interrupt(): Promise<Record<string, unknown>> {
  if (await interruptMain(state, tell)) return { status: 'ok' };
  return {
    status: 'error',
    ename: 'NotInterrupted',
    evalue: 'What runs does not let itself be stopped; restart the kernel.',
    traceback: [],
  };
}

function tell(message: ToMain): void {
  main.postMessage(message);
}

async function handle(arrived: Arrived): Promise<void> {
  const { header } = arrived.message;
  tell({ type: 'status', state: 'busy', parent: header });
  const reply = (type: string, content: Record<string, unknown>) =>
    sender.reply(control, arrived, type, content);
  if (header.msg_type === 'interrupt_request') reply('interrupt_reply', await interrupt());
  if (header.msg_type === 'kernel_info_request') reply('kernel_info_reply', kernelInfo);
  if (header.msg_type === 'shutdown_request') {
    const restart = arrived.message.content.restart === true;
    reply('shutdown_reply', { status: 'ok', restart });
    tell({ type: 'shutdown' });
    // A main thread that is in a loop cannot end the process itself.
    setTimeout(() => process.kill(process.pid, 'SIGKILL'), endWithin).unref();
  }
  tell({ type: 'status', state: 'idle', parent: header });
}

async function listen(): Promise<void> {
  const decode = createDecoder(connection.key);
  for await (const frames of control) {
    const arrived = decode(frames as Buffer[]);
    if (arrived) await handle(arrived).catch(() => {});
  }
}

async function beat(): Promise<void> {
  for await (const frames of heartbeat) await heartbeat.send(frames).catch(() => {});
}

main.on('message', ({ type }: ToControl) => {
  if (type !== 'end') return;
  // The sockets are closed before the process ends: the native library aborts it otherwise.
  control.close();
  heartbeat.close();
  main.close();
});

/** End this kernel when the program that started it is gone. Jupyter gives that program's id in JPY_PARENT_PID. */
function watchParent(): void {
  const parent = Number(process.env.JPY_PARENT_PID);
  if (!Number.isInteger(parent) || parent <= 1) return;
  setInterval(() => {
    if (!isAlive(parent)) process.kill(process.pid, 'SIGKILL');
  }, 2000).unref();
}

async function start(): Promise<void> {
  await Promise.all([
    control.bind(address(connection, 'control')),
    heartbeat.bind(address(connection, 'hb')),
  ]);
  watchParent();
  listen().catch(() => {});
  beat().catch(() => {});
}

start().catch((error) => {
  // Thrown outside the promise, so that the main thread hears of it.
  setImmediate(() => {
    throw error;
  });
});

import { setImmediate } from 'node:timers';
import { parseArgs } from 'node:util';
import { Worker } from 'node:worker_threads';
import { readConnection } from './connection';
import { createSharedState, type ToControl, type ToMain } from './control';
import { built } from './home';
import { nodeRuntime } from './node-host';
import { createServer } from './server';
import type { ParentHeader } from './wire';

// The kernel process: node kernel.cjs --connection FILE

/** Enough of a stack that a cell's own lines are in it, below the library's. */
Error.stackTraceLimit = 40;

const { cells, host, takeCallbackCell } = nodeRuntime();

function fail(message: string): void {
  cells.outside(() => {
    process.stderr.write(`${message}\n`);
    process.exit(1);
  });
}

async function main(): Promise<void> {
  const { values } = parseArgs({ options: { connection: { type: 'string' } } });
  if (!values.connection)
    throw new TypeError('The kernel is started with --connection FILE, which Jupyter writes.');
  const connection = readConnection(values.connection);
  const state = createSharedState();
  cells.attributeEverything(state.setInCell);
  const worker = new Worker(built('control-worker.cjs'), {
    workerData: { connection, memory: state.memory },
  });
  const server = createServer({
    connection,
    cwd: process.cwd(),
    onCell: state.nextCell,
    onShutdown: () => worker.postMessage({ type: 'end' } satisfies ToControl),
  });
  // Ctrl-C in the terminal of the program that started the kernel is that program's matter.
  process.on('SIGINT', () => {});
  worker.on('message', (message: ToMain) => {
    if (message.type === 'status') server.status(message.state, message.parent as ParentHeader);
    else if (message.type === 'shutdown') worker.postMessage({ type: 'end' } satisfies ToControl);
    else {
      takeCallbackCell()?.stop();
      cells.leave();
      if (message.cell === state.cell()) server.interrupt();
      // Behind the stop that was put in line: code that catches the end of its wait may go into a loop by that, which
      // is cut off only while the answer is waited for.
      host.callback(state.answer);
    }
  });
  worker.on('error', (error) => {
    fail(`The kernel cannot listen: ${error.message}`);
  });
  worker.on('exit', () => {
    server.close();
    cells.outside(() => process.exit(0));
  });
  await server.start();
  // The session and its converter take a while to make: begin before the first cell asks for them.
  setImmediate(server.prepare);
}

main().catch((error) => fail(error instanceof Error ? error.message : String(error)));

import { setImmediate } from 'node:timers';
import { parseArgs } from 'node:util';
import { Worker } from 'node:worker_threads';
import { attributeEverything, leaveCells, outsideCells } from './cell-context';
import { readConnection } from './connection';
import { takeCallbackCell } from './guards';
import { built } from './home';
import type { ToControl, ToMain } from './interrupt';
import type { ParentHeader } from './message';
import { createPulse } from './pulse';
import { createServer } from './server';

// The kernel process: node kernel.cjs --connection FILE

/** Enough of a stack that a cell's own lines are in it, below the library's. */
Error.stackTraceLimit = 40;

function fail(message: string): void {
  outsideCells(() => {
    process.stderr.write(`${message}\n`);
    process.exit(1);
  });
}

async function main(): Promise<void> {
  const { values } = parseArgs({ options: { connection: { type: 'string' } } });
  if (!values.connection)
    throw new TypeError('The kernel is started with --connection FILE, which Jupyter writes.');
  const connection = readConnection(values.connection);
  const pulse = createPulse();
  attributeEverything(pulse.setInCell);
  const worker = new Worker(built('control-worker.cjs'), {
    workerData: { connection, memory: pulse.memory },
  });
  const server = createServer({
    connection,
    cwd: process.cwd(),
    onCell: pulse.nextCell,
    onShutdown: () => worker.postMessage({ type: 'end' } satisfies ToControl),
  });
  // Ctrl-C in the terminal of the program that started the kernel is that program's matter.
  process.on('SIGINT', () => {});
  worker.on('message', (message: ToMain) => {
    if (message.type === 'status') server.status(message.state, message.parent as ParentHeader);
    else if (message.type === 'shutdown') worker.postMessage({ type: 'end' } satisfies ToControl);
    else {
      takeCallbackCell()?.stop();
      leaveCells();
      if (message.cell === pulse.cell()) server.interrupt();
      pulse.answer();
    }
  });
  worker.on('error', (error) => {
    fail(`The kernel cannot listen: ${error.message}`);
  });
  worker.on('exit', () => {
    server.close();
    outsideCells(() => process.exit(0));
  });
  await server.start();
  // The converter takes a while to make: begin before the first cell asks for it.
  setImmediate(server.prepare);
}

main().catch((error) => fail(error instanceof Error ? error.message : String(error)));

import { createInterface } from 'node:readline';
import { Worker } from 'node:worker_threads';
import type { CellConverter } from '../cells/convert/converter';
import { aheadIn } from '../kernel/ahead';
import { nodeConverter } from '../kernel/node-session';
import type { Answered, Asked } from './job';

// Checks and emits students' code for the marker, in a process that is ended when a cell's types are
// endless. It runs none of that code and sees neither keys nor returns on the disk.
const say = (answer: Answered) => process.stdout.write(`${JSON.stringify(answer)}\n`);

/** Processor time of this process, ms: what a busy machine gives to others does not count. */
function processorTime(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

/** The processor time at which this process is ended; Infinity while no cell is at work. */
const end = new Float64Array(new SharedArrayBuffer(8)).fill(Infinity);

// A thread of its own, since the compiler does not let go of this one.
const watch = `
const { workerData: end } = require('node:worker_threads');
setInterval(() => {
  const { user, system } = process.cpuUsage();
  if ((user + system) / 1000 > end[0]) process.kill(process.pid, 'SIGKILL');
}, 100);`;
new Worker(watch, { eval: true, workerData: end }).unref();

async function main(): Promise<void> {
  const compiler = await nodeConverter(process.cwd(), { withLibrary: true });
  const ahead = aheadIn(process.cwd());
  const converter: CellConverter = {
    ...compiler,
    // Read from this program's own files and never from a return.
    convert: async (...asked) => ahead(...asked) ?? compiler.convert(...asked),
  };
  const { returnConverter } = await import('./convert-return');
  // The compiler reads the library's types now, so that no student's cell pays for that.
  await compiler.convert('', 'const first = 1;');
  const cells = returnConverter(converter);
  say({ at: '', taken: 0 });
  for await (const line of createInterface({ input: process.stdin })) {
    const asked = JSON.parse(line) as Asked;
    if ('places' in asked) {
      say({ places: cells.places(asked.places) });
      continue;
    }
    const { cell, all } = asked.time;
    const began = processorTime();
    const converted = await cells.convert(asked.convert, (id) => {
      const now = processorTime();
      end[0] = now + cell;
      say({ at: id, taken: now - began });
      return now - began < all;
    });
    end[0] = Infinity;
    say({ converted });
  }
}

void main();

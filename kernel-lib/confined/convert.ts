import { createInterface } from 'node:readline';
import { Worker } from 'node:worker_threads';
import { createCellConverter } from '../kernel/converter';
import type { Answered, Asked } from './conversion';
import { returnConverter } from './convert-return';

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

const converter = createCellConverter(process.cwd(), true);
// The compiler reads the library's types now, so that no student's cell pays for that.
converter.convert('', 'const first = 1;');
const cells = returnConverter(converter);
say({ at: '', taken: 0 });

createInterface({ input: process.stdin }).on('line', (line) => {
  const asked = JSON.parse(line) as Asked;
  if ('places' in asked) {
    say({ places: cells.places(asked.places) });
    return;
  }
  const { cell, all } = asked.time;
  const began = processorTime();
  const converted = cells.convert(asked.convert, (id) => {
    const now = processorTime();
    end[0] = now + cell;
    say({ at: id, taken: now - began });
    return now - began < all;
  });
  end[0] = Infinity;
  say({ converted });
});

import { createInterface } from 'node:readline';
import { createCellConverter } from '../kernel/converter';
import type { Answered, Asked } from './conversion';
import { returnConverter } from './convert-return';

// Checks and emits students' code for the marker, in a process that can be ended when a cell's types are
// endless. It runs none of that code and sees neither keys nor returns on the disk.
const say = (answer: Answered) => process.stdout.write(`${JSON.stringify(answer)}\n`);

const cells = returnConverter(createCellConverter(process.cwd(), true));
say({ at: '' });

createInterface({ input: process.stdin }).on('line', (line) => {
  const asked = JSON.parse(line) as Asked;
  if ('convert' in asked) {
    const converted = cells.convert(asked.convert, (id) => say({ at: id }));
    say({ converted });
  } else say({ places: cells.places(asked.places) });
});

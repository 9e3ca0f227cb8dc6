import type {
  Answered,
  Asked,
  ConversionFault,
  ConversionTime,
  ConvertedCell,
  Place,
  SourceCell,
} from './job';
import type { LineProcess } from './line-process';
import type { Confinement } from './walls';

/** The conversion process of one marking job, started anew when a cell's types took too long. */
export interface ConverterProcess {
  /** Check and emit the cells of a return. A cell that does not end in time counts as one that does not convert. */
  convert(cells: readonly SourceCell[]): Promise<ConvertedCell[]>;
  /** Lines in the cells of the last return. */
  places(places: readonly Place[]): Promise<ReadonlyMap<string, number>>;
  kill(): void;
}

/** The compiler reads the library's types before it says that it is there. ms */
const startTime = 120_000;
/** Memory grows with what is remembered. */
const returnsPerProcess = 1500;

/**
 * Processor time for the cells of one return, ms: a third of what the return may run. A sheet's take one to three
 * seconds when the compiler meets them for the first time.
 */
const budgetOf = (sheetTime: number) => Math.max(10_000, sheetTime / 3);
/** Processor time for one cell: less once a cell of the same return did not end. ms */
const cellTime = (budget: number, isFirst: boolean) =>
  isFirst ? Math.max(2000, budget / 5) : 2000;
/** What is found out about the rest once that is used up. ms */
const lastBudget = 8000;
/** Without a word for so long, ms, it is not at work at all. */
const silence = (cell: number) => 60_000 + 10 * cell;

/** Not an error of types: nobody knows. */
const fault = (message: string): ConversionFault => ({ name: 'NotChecked', message });
const tooLong = fault(
  'The types of this cell take too long to check, or need more memory than there is.',
);
const leftOut = fault(
  'The cells of this return take too long to check together, so this one was left out. Shorter types help.',
);

/** Where it was when it was ended, and the processor time before that. */
interface Stuck {
  readonly stuck: string;
  readonly taken: number;
}

/** @param sheetTime longest time for one return, ms */
export function converterProcess(
  confinement: Pick<Confinement, 'startConverter'>,
  sheetTime: number,
): ConverterProcess {
  let running: LineProcess | undefined;
  let count = 0;

  function stop(): void {
    running?.kill();
    running = undefined;
    count = 0;
  }

  async function start(): Promise<LineProcess> {
    if (running && count < returnsPerProcess) return running;
    stop();
    const fresh = confinement.startConverter();
    const heard = await fresh.next(startTime);
    if (!('line' in heard)) {
      fresh.kill();
      throw new Error(
        `The converter does not start: ${fresh.complaint.slice(0, 500) || heard.none}`,
      );
    }
    running = fresh;
    return fresh;
  }

  /** Ask, and listen until the answer comes; where it was at work when none came. */
  async function ask(
    asked: Asked,
    wait: number,
    onDone: (id: string) => void = () => {},
  ): Promise<Exclude<Answered, { at: string }> | Stuck> {
    const process = await start();
    process.send(asked);
    let at = { stuck: '', taken: 0 };
    for (;;) {
      const heard = await process.next(wait);
      if (!('line' in heard)) {
        stop();
        return at;
      }
      const said = heard.line as Answered;
      if (!('at' in said)) {
        count += 1;
        return said;
      }
      if (at.stuck !== '') onDone(at.stuck);
      at = { stuck: said.at, taken: said.taken };
    }
  }

  /** What could be converted within its time, with the reason for each cell that could not. */
  async function convert(cells: readonly SourceCell[]): Promise<ConvertedCell[]> {
    const refused = new Map<string, ConversionFault>();
    const good = new Set<string>();
    const budget = budgetOf(sheetTime);
    let left = budget;

    async function attempt(time: ConversionTime): Promise<ConvertedCell[] | undefined> {
      const asked = cells.filter(({ id }) => !refused.has(id));
      const said = await ask({ convert: asked, time }, silence(time.cell), (id) => good.add(id));
      if ('converted' in said)
        return [...said.converted, ...[...refused].map(([id, fault]) => ({ id, fault }))];
      if (!('stuck' in said)) return undefined;
      if (said.stuck === '') throw new Error('The converter ended before it looked at a cell.');
      refused.set(said.stuck, tooLong);
      left -= said.taken + time.cell;
      return undefined;
    }
    const leaveOut = (isMeant: (cell: SourceCell) => boolean | undefined) => {
      for (const cell of cells)
        if (isMeant(cell) && !good.has(cell.id) && !refused.has(cell.id))
          refused.set(cell.id, leftOut);
    };

    for (let n = 0; left > 0; n += 1) {
      const cell = cellTime(budget, n === 0);
      const converted = await attempt({ cell, all: left });
      if (converted) return converted;
    }
    // Answers come before what a student added to them; of both, what converted before stays.
    for (const which of ['isAdded', 'isOwn'] as const) {
      leaveOut((cell) => cell[which]);
      const cell = cellTime(budget, false);
      const converted = await attempt({ cell, all: lastBudget });
      if (converted) return converted;
    }
    return cells.map(({ id }) => ({ id, fault: refused.get(id) ?? leftOut }));
  }

  return {
    convert,
    async places(places) {
      if (places.length === 0 || !running) return new Map();
      const said = await ask({ places }, silence(0));
      return 'places' in said ? new Map(said.places.map(({ id, line }) => [id, line])) : new Map();
    },
    kill: stop,
  };
}

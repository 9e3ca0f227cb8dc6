import type { Confinement } from './confine';
import type { Answered, Asked, ConvertedCell, Place, SourceCell } from './conversion';
import type { LineProcess } from './line-process';

/** The conversion process of one marking job, started anew when a cell's types took too long. */
export interface ConverterProcess {
  /** Check and emit the cells of a return. A cell that does not end in time counts as one that does not convert. */
  convert(cells: readonly SourceCell[]): Promise<ConvertedCell[]>;
  /** Lines in the cells of the last return. */
  places(places: readonly Place[]): Promise<ReadonlyMap<string, number>>;
  kill(): void;
}

/** The first cells wait for the compiler to read the library's types. */
const startTime = 60_000;
const mostAttempts = 4;
/** Memory grows with what is remembered. */
const returnsPerProcess = 1500;

/** @param cellTime longest time for one cell, ms */
export function converterProcess(confinement: Confinement, cellTime: number): ConverterProcess {
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

  /** Ask, and listen until the answer comes; the id of the cell that was at work when none came. */
  async function ask(asked: Asked): Promise<Exclude<Answered, { at: string }> | { stuck: string }> {
    const process = await start();
    process.send(asked);
    let stuck = '';
    let first = count === 0;
    for (;;) {
      const heard = await process.next(first ? startTime + cellTime : cellTime);
      if (!('line' in heard)) {
        stop();
        return { stuck };
      }
      const said = heard.line as Answered;
      if (!('at' in said)) {
        count += 1;
        return said;
      }
      first &&= stuck === '';
      stuck = said.at;
    }
  }

  return {
    async convert(cells) {
      const stuckAt = new Set<string>();
      const fault = {
        name: 'TypeScriptError',
        message: 'The types of this cell take too long to check.',
      };
      for (let attempt = 0; attempt < mostAttempts; attempt++) {
        const said = await ask({ convert: cells.filter(({ id }) => !stuckAt.has(id)) });
        if ('stuck' in said) stuckAt.add(said.stuck);
        else if ('converted' in said)
          return [...said.converted, ...[...stuckAt].map((id) => ({ id, fault }))];
      }
      return cells.map(({ id }) => ({ id, fault }));
    },
    async places(places) {
      if (places.length === 0 || !running) return new Map();
      const said = await ask({ places });
      return 'places' in said ? new Map(said.places.map(({ id, line }) => [id, line])) : new Map();
    },
    kill: stop,
  };
}

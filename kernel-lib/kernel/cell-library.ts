import type { CommExchange, CommMessage } from '../display/comm';
import { benchScript } from './bench-script';
import { currentCell, latestCell } from './cell-context';
import { library } from './home';
import { findSheet, sheetNames } from './sheets';
import { plainBundle } from './value-bundle';

let exchange: CommExchange | undefined;

/** The library as cells import it: what it shows goes to the cell that shows it. */
export function cellLibrary(): ReturnType<typeof library> {
  const names = library();
  if (exchange) return names;
  exchange = names.connectComms((message) => (currentCell() ?? latestCell())?.comm(message));
  names.setSheetSource(findSheet, sheetNames);
  names.setBenchScript(benchScript);
  const print = names.setDisplayPort({
    show(bundle, metadata, id) {
      const cell = currentCell() ?? latestCell();
      if (cell) cell.show(plainBundle(bundle), metadata, id);
      else print.show(bundle, metadata);
    },
    update: (id, bundle, metadata) =>
      (currentCell() ?? latestCell())?.update(id, plainBundle(bundle), metadata),
    clear: (wait) => (currentCell() ?? latestCell())?.clear(wait),
    ask: (question) => (currentCell() ?? latestCell())?.ask(question) ?? nobodyAnswers(),
  });
  return names;
}

/** What becomes of a question where a cell's outputs go to a file, or to a front end that cannot ask. */
export const nobodyAnswers = (): Promise<never> =>
  Promise.reject(
    new Error(
      'prompt(…) asks a person, and nobody can answer here: not while a notebook is run from the command line, and not in a front end without a box for it. Write the value into the cell instead.',
    ),
  );

/** Give the library a client's comm message. */
export function receiveComm(message: CommMessage): void {
  cellLibrary();
  exchange?.receive(message);
}

/** The target of each open comm, by id. */
export const openComms = (): Record<string, string> => exchange?.open() ?? {};

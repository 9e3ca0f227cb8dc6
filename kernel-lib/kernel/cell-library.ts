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
    show(bundle, metadata) {
      const cell = currentCell() ?? latestCell();
      if (cell) cell.show(plainBundle(bundle), metadata);
      else print.show(bundle, metadata);
    },
  });
  return names;
}

/** Give the library a client's comm message. */
export function receiveComm(message: CommMessage): void {
  cellLibrary();
  exchange?.receive(message);
}

/** The target of each open comm, by id. */
export const openComms = (): Record<string, string> => exchange?.open() ?? {};

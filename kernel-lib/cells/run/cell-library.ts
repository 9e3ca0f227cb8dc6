import type { CommExchange, CommMessage } from '../../display/comm';
import type * as Library from '../../index';
import type { Host } from '../host';
import { nobodyAnswers, type RunningCells } from './cell-context';
import { plainBundle } from './output';

/** The library of cells, and the lines that it has open to clients. */
export interface CellLibrary {
  /** The library as cells import it: what it shows goes to the cell that shows it. */
  names(): typeof Library;
  /** Give the library a client's comm message. */
  receive(message: CommMessage): void;
  /** The target of each open comm, by id. */
  openComms(): Record<string, string>;
}

/** The library that a host has, its ports laid to the cells. Loaded when first asked for. */
export function createCellLibrary(host: Host, cells: RunningCells): CellLibrary {
  let exchange: CommExchange | undefined;
  const cell = cells.currentOrLast;

  function names(): typeof Library {
    const library = host.library();
    if (exchange) return library;
    exchange = library.connectComms((message) => cell()?.comm(message));
    library.setSheetSource(host.sheets.find, host.sheets.names);
    library.setBenchScript(host.benchScript);
    const print = library.setDisplayPort({
      show(bundle, metadata, id) {
        const shows = cell();
        if (shows) shows.show(plainBundle(bundle), metadata, id);
        else print.show(bundle, metadata);
      },
      update: (id, bundle, metadata) => cell()?.update(id, plainBundle(bundle), metadata),
      clear: (wait) => cell()?.clear(wait),
      ask: (question) => cell()?.ask(question) ?? nobodyAnswers(),
    });
    return library;
  }

  return {
    names,
    receive(message) {
      names();
      exchange?.receive(message);
    },
    openComms: () => exchange?.open() ?? {},
  };
}

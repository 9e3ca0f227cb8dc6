import { Console } from 'node:console';
import { Writable } from 'node:stream';
import type { CellContext } from './cell-context';

/** The `console` of cells: never coloured, `clear()` clears the cell's output. */
export function cellConsole(cell: () => CellContext | undefined): Console {
  const stream = (name: 'stdout' | 'stderr') => {
    const target = new Writable();
    target.write = ((text: string) => {
      cell()?.write(name, text);
      return true;
    }) as typeof target.write;
    return target;
  };
  const console = new Console({
    stdout: stream('stdout'),
    stderr: stream('stderr'),
    ignoreErrors: false,
    colorMode: false,
  });
  console.clear = () => cell()?.clear(false);
  return console;
}

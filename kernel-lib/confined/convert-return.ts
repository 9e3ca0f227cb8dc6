import { diagnosticsError } from '../kernel/cell-errors';
import type { CellConverter } from '../kernel/converter';
import { declaredValues } from '../kernel/declarations';
import { type CellCode, emitCell, placeInCell } from '../kernel/emit';
import type { ConversionFault, ConvertedCell, Place, SourceCell } from './conversion';
import { withoutDecimals } from './decimals';
import { bounds } from './job';
import { joined, relevant } from './relevant';
import { widened } from './widened';

const checkCell = /^\s*check\('[^'\n]+',\s*([\w$]+)\);?\s*$/;

/** Converts the cells of one return after the other, remembering what is common to them. */
export function returnConverter(converter: CellConverter) {
  const checks = new Map<string, CellCode>();
  let latest = new Map<string, CellCode>();

  /** A check of a name that is declared has nothing left to find out. */
  function checkCode(source: string, declarations: string): CellCode | undefined {
    const name = checkCell.exec(source)?.[1];
    if (name === undefined) return undefined;
    const declared = declaredValues(declarations);
    if (!declared.has('check') || !declared.has(name)) return undefined;
    const code = checks.get(source) ?? emitCell(source, declared);
    checks.set(source, code);
    return code;
  }

  /** Convert by what is common to many students; undefined when that finds a fault or does not fit. */
  function quickly(
    declarations: string,
    source: string,
  ): { code: CellCode; text: string; after: string } | undefined {
    const plain = withoutDecimals(source);
    const { seen, rest } = relevant(declarations, source);
    const { code, declarations: after } = converter.convert(seen, plain.source);
    if (!code) return undefined;
    const text = plain.restore(code.text);
    const joint = joined(widened(after), rest);
    return text === undefined || joint === undefined ? undefined : { code, text, after: joint };
  }

  function convertAll(
    cells: readonly SourceCell[],
    isExact: boolean,
    onCell: (id: string) => void,
  ): ConvertedCell[] {
    let declarations = '';
    latest = new Map();
    return cells.map(({ id, source, isCheck }) => {
      const known = isCheck ? checkCode(source, declarations) : undefined;
      if (known) return { id, code: sent(id, known) };
      onCell(id);
      const quick = isExact ? undefined : quickly(declarations, source);
      if (quick) {
        declarations = quick.after;
        return { id, code: sent(id, quick.code, quick.text) };
      }
      const { code, diagnostics, declarations: after } = converter.convert(declarations, source);
      if (!code) return { id, fault: faultOf(diagnosticsError(diagnostics, source)) };
      declarations = isExact ? after : widened(after);
      return { id, code: sent(id, code) };
    });
  }

  function sent(id: string, code: CellCode, text = code.text) {
    latest.set(id, code);
    const { names, modules, isAsync } = code;
    return { id, text, names, modules, isAsync };
  }

  return {
    /** A cell that does not convert among widened types is tried among the exact ones before that is believed. */
    convert(cells: readonly SourceCell[], onCell: (id: string) => void): ConvertedCell[] {
      const quick = convertAll(cells, false, onCell);
      return quick.some((cell) => 'fault' in cell) ? convertAll(cells, true, onCell) : quick;
    },
    /** Lines of the cells of the last return that places in their emitted code come from. */
    places(places: readonly Place[]): { id: string; line: number }[] {
      return places.flatMap(({ id, line, column }) => {
        const code = latest.get(id);
        // Columns differ where decimals were put back; the line is all that is asked.
        const width = code?.text.split('\n')[line - 1]?.length ?? 0;
        const place = code && placeInCell(code, { line, column: Math.min(column, width + 1) });
        return place ? [{ id, line: place.line }] : [];
      });
    },
  };
}

function faultOf({ ename, evalue, place }: ReturnType<typeof diagnosticsError>): ConversionFault {
  const message = evalue.slice(0, bounds.message);
  return { name: ename, message, ...(place ? { line: place.line } : {}) };
}

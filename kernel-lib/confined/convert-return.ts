import { diagnosticsError } from '../kernel/cell-errors';
import type { CellConverter } from '../kernel/converter';
import { declaredValues } from '../kernel/declarations';
import { type CellCode, emitCell, placeInCell } from '../kernel/emit';
import type { ConversionFault, ConvertedCell, Place, SourceCell } from './conversion';
import { bounds } from './job';
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

  function convertWith(
    cells: readonly SourceCell[],
    prepare: (declarations: string) => string,
    onCell: (id: string) => void,
  ): ConvertedCell[] {
    let declarations = '';
    latest = new Map();
    return cells.map(({ id, source, isCheck }) => {
      const known = isCheck ? checkCode(source, declarations) : undefined;
      if (known) return { id, code: sent(id, known) };
      onCell(id);
      const { code, diagnostics, declarations: after } = converter.convert(declarations, source);
      if (!code) return { id, fault: faultOf(diagnosticsError(diagnostics, source)) };
      declarations = prepare(after);
      return { id, code: sent(id, code) };
    });
  }

  function sent(id: string, code: CellCode) {
    latest.set(id, code);
    const { text, names, modules, isAsync } = code;
    return { id, text, names, modules, isAsync };
  }

  return {
    /** A cell that does not convert among widened types is tried among the exact ones before that is believed. */
    convert(cells: readonly SourceCell[], onCell: (id: string) => void): ConvertedCell[] {
      const quick = convertWith(cells, widened, onCell);
      return quick.some((cell) => 'fault' in cell)
        ? convertWith(cells, (exact) => exact, onCell)
        : quick;
    },
    /** Lines of the cells of the last return that places in their emitted code come from. */
    places(places: readonly Place[]): { id: string; line: number }[] {
      return places.flatMap(({ id, line, column }) => {
        const code = latest.get(id);
        const place = code && placeInCell(code, { line, column });
        return place ? [{ id, line: place.line }] : [];
      });
    },
  };
}

function faultOf({ ename, evalue, place }: ReturnType<typeof diagnosticsError>): ConversionFault {
  const message = evalue.slice(0, bounds.message);
  return { name: ename, message, ...(place ? { line: place.line } : {}) };
}

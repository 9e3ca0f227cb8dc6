import { diagnosticsError } from '../kernel/cell-errors';
import type { CellConverter } from '../kernel/converter';
import { declaredValues } from '../kernel/declarations';
import { type CellCode, emitCell, placeInCell } from '../kernel/emit';
import type { ConversionFault, ConvertedCell, Place, SourceCell } from './conversion';
import { bounds } from './job';
import { withoutNumbers } from './numbers';
import { joined, relevant } from './relevant';
import { widened } from './widened';

/** Told of each cell before it is converted; answers whether there is time left for cells of the student's. */
export type OnCell = (id: string) => boolean;

const noTimeLeft: ConversionFault = {
  name: 'TypeScriptError',
  message:
    'The cells before this one took so long to check that there is no time left for it. Shorter types help.',
};

interface Found {
  readonly code: CellCode;
  /** The emitted text with the student's own numbers, where they were taken out before. */
  readonly text?: string;
  /** Declarations after the cell. */
  readonly after: string;
}

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

  /** Convert among those declarations that a cell names; undefined when that finds a fault or does not fit. */
  function among(declarations: string, source: string): Found | undefined {
    const { seen, rest } = relevant(declarations, source);
    const { code, declarations: after } = converter.convert(seen, source);
    const joint = code && joined(after, rest);
    return code && joint !== undefined ? { code, after: joint } : undefined;
  }

  /** The same by what is common to many students: without its numbers, and with constants widened after it. */
  function quickly(declarations: string, source: string): Found | undefined {
    const plain = withoutNumbers(source);
    const found = among(declarations, plain.source);
    if (!found) return undefined;
    const text = plain.restore(found.code.text);
    return text === undefined ? undefined : { ...found, text, after: widened(found.after) };
  }

  function convertAll(
    cells: readonly SourceCell[],
    isExact: boolean,
    onCell: OnCell,
  ): ConvertedCell[] {
    let declarations = '';
    latest = new Map();
    return cells.map(({ id, source, isAnswer, isOwn }) => {
      const known = isAnswer ? checkCode(source, declarations) : undefined;
      if (known) return { id, code: sent(id, known) };
      if (!onCell(id) && isOwn) return { id, fault: noTimeLeft };
      const found = isExact ? among(declarations, source) : quickly(declarations, source);
      if (found) {
        declarations = found.after;
        return { id, code: sent(id, found.code, found.text) };
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
    convert(cells: readonly SourceCell[], onCell: OnCell): ConvertedCell[] {
      const quick = convertAll(cells, false, onCell);
      if (!quick.some((cell) => 'fault' in cell)) return quick;
      return convertAll(cells, true, onCell).map((cell, i) =>
        'fault' in cell && cell.fault === noTimeLeft ? quick[i] : cell,
      );
    },
    /** Lines of the cells of the last return that places in their emitted code come from. */
    places(places: readonly Place[]): { id: string; line: number }[] {
      return places.flatMap(({ id, line, column }) => {
        const code = latest.get(id);
        // Columns differ where numbers were put back; the line is all that is asked.
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

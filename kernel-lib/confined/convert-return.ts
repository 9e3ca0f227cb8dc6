import { type CellCode, placesIn } from '../cells/cell-code';
import type { CellConverter } from '../cells/convert/converter';
import { declaredValues } from '../cells/convert/declarations';
import { emitCell } from '../cells/convert/emit';
import { type TypeScript, ts } from '../cells/convert/typescript';
import { diagnosticsError } from '../cells/run/cell-errors';
import {
  bounds,
  type ConversionFault,
  type ConvertedCell,
  type Place,
  type SourceCell,
} from './job';

/** Told of each cell before it is converted; answers whether there is time left for cells of the student's. */
export type OnCell = (id: string) => boolean;

const noTimeLeft: ConversionFault = {
  name: 'TypeScriptError',
  message:
    'The cells before this one took so long to check that there is no time left for it. Shorter types help.',
};

interface Emitted {
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
  async function among(declarations: string, source: string): Promise<Emitted | undefined> {
    const { seen, rest } = relevant(declarations, source);
    const { code, declarations: after } = await converter.convert(seen, source);
    const joint = code && joined(after, rest);
    return code && joint !== undefined ? { code, after: joint } : undefined;
  }

  /** The same by what is common to many students: without its numbers, and with constants widened after it. */
  async function quickly(declarations: string, source: string): Promise<Emitted | undefined> {
    const plain = withoutNumbers(source);
    const found = await among(declarations, plain.source);
    if (!found) return undefined;
    const text = plain.restore(found.code.text);
    return text === undefined ? undefined : { ...found, text, after: widened(found.after) };
  }

  async function convertAll(
    cells: readonly SourceCell[],
    isExact: boolean,
    onCell: OnCell,
  ): Promise<ConvertedCell[]> {
    let declarations = '';
    latest = new Map();

    async function convertOne({ id, source, isAnswer, isOwn }: SourceCell): Promise<ConvertedCell> {
      const known = isAnswer ? checkCode(source, declarations) : undefined;
      if (known) return { id, code: sent(id, known) };
      if (!onCell(id) && isOwn) return { id, fault: noTimeLeft };
      // The numbers of the sheet's own cells are the same for everybody.
      const found = await (isExact || !isOwn ? among : quickly)(declarations, source);
      if (found) {
        declarations = isExact ? found.after : widened(found.after);
        return { id, code: sent(id, found.code, found.text) };
      }
      const made = await converter.convert(declarations, source);
      if (!made.code) return { id, fault: faultOf(diagnosticsError(made.diagnostics, source)) };
      declarations = isExact ? made.declarations : widened(made.declarations);
      return { id, code: sent(id, made.code) };
    }

    const converted: ConvertedCell[] = [];
    for (const cell of cells) converted.push(await convertOne(cell));
    return converted;
  }

  function sent(id: string, code: CellCode, text = code.text) {
    latest.set(id, code);
    const { names, modules, isAsync } = code;
    return { id, text, names, modules, isAsync };
  }

  return {
    /** A cell that does not convert among widened types is tried among the exact ones before that is believed. */
    async convert(cells: readonly SourceCell[], onCell: OnCell): Promise<ConvertedCell[]> {
      const quick = await convertAll(cells, false, onCell);
      if (!quick.some((cell) => 'fault' in cell)) return quick;
      return (await convertAll(cells, true, onCell)).map((cell, i) =>
        'fault' in cell && cell.fault === noTimeLeft ? quick[i] : cell,
      );
    },
    /** Lines of the cells of the last return that places in their emitted code come from. */
    places(places: readonly Place[]): { id: string; line: number }[] {
      return places.flatMap(({ id, line, column }) => {
        const code = latest.get(id);
        // Columns differ where numbers were put back; the line is all that is asked.
        const width = code?.text.split('\n')[line - 1]?.length ?? 0;
        const place = code && placesIn(code)({ line, column: Math.min(column, width + 1) });
        return place ? [{ id, line: place.line }] : [];
      });
    },
  };
}

function faultOf({ ename, evalue, place }: ReturnType<typeof diagnosticsError>): ConversionFault {
  const message = evalue.slice(0, bounds.message);
  return { name: ename, message, ...(place ? { line: place.line } : {}) };
}

/** Declarations that a cell can see, and the rest that it does not name. */
export interface Split {
  readonly seen: string;
  readonly rest: readonly { readonly text: string; readonly names: ReadonlySet<string> }[];
}

const words = (text: string) => text.match(/[\p{L}_$][\p{L}\p{N}_$]*/gu) ?? [];

/**
 * Leave away what a cell does not name, directly or by what it names: then cells after different answers convert
 * once for all students. What declares no value (types, globals) always stays.
 */
export function relevant(declarations: string, source: string): Split {
  const file = ts.createSourceFile('before.d.ts', declarations, ts.ScriptTarget.ES2022);
  const statements = file.statements.map((node) => {
    const text = node.getText(file);
    return { text, names: declaredValues(text), words: words(text) };
  });
  // An escape could spell any name.
  if (source.includes('\\u')) return { seen: declarations, rest: [] };
  const named = new Set(words(source));
  const seen = new Set(statements.filter(({ names }) => names.size === 0));
  for (const { words: more } of seen) for (const word of more) named.add(word);
  for (let grew = true; grew; ) {
    grew = false;
    for (const one of statements) {
      if (seen.has(one) || ![...one.names].some((name) => named.has(name))) continue;
      seen.add(one);
      for (const word of one.words) named.add(word);
      grew = true;
    }
  }
  return {
    seen: statements
      .filter((one) => seen.has(one))
      .map(({ text }) => text)
      .sort()
      .join('\n'),
    rest: statements.filter((one) => !seen.has(one)),
  };
}

/** Declarations after the cell with those it did not see; undefined where it declares a part of one of them anew. */
export function joined(after: string, rest: Split['rest']): string | undefined {
  const declared = declaredValues(after);
  const kept: string[] = [];
  for (const { text, names } of rest) {
    const again = [...names].filter((name) => declared.has(name)).length;
    if (again === 0) kept.push(text);
    else if (again < names.size) return undefined;
  }
  return [after.trimEnd(), ...kept].join('\n');
}

/**
 * Declarations in which constants have the type of their kind (`const a: number` for `const a = 0.781`), so
 * that the cells after an answer convert once for all students and not once for each value.
 */
export function widened(declarations: string): string {
  return declarations.replace(/^(?:export )?declare const .*;$/gm, (line) =>
    line.replace(
      /(?<![\w$])([\w$]+) = (-?[\d.][\w.+-]*|"(?:[^"\\\n]|\\.)*"|true|false)(?=[,;])/g,
      (_, name, value) => `${name}: ${kind(value)}`,
    ),
  );
}

function kind(value: string): string {
  if (value.startsWith('"')) return 'string';
  if (value === 'true' || value === 'false') return 'boolean';
  return /^-?\d+n$/.test(value) ? 'bigint' : 'number';
}

const decimal = /^\d+\.\d+(?:e[+-]?\d+)?$/i;
const longInteger = /^[1-9]\d+$/;

/**
 * How the stand-in for the n-th number of a cell begins; its digits end with n. No text that a person writes has
 * these, and the compiler writes no other number from one.
 */
const begins = '7.3190462';
const standIn = (n: number) => `${begins}${String(n).padStart(5, '0')}1`;
const standIns = new RegExp(`${begins.replace('.', '\\.')}(\\d{5})1`, 'g');
/** More numbers than the stand-ins can tell apart: such a cell is nobody else's. */
const mostNumbers = 100_000;

/** A number in a cell, as it stands there. */
interface Found {
  readonly start: number;
  readonly text: string;
}

/** Where types hang on a number, or other numbers that the compiler works out from it. */
const isDecisive = (node: TypeScript.Node): boolean =>
  ts.isTypeNode(node) || ts.isEnumDeclaration(node);

const isName = (node: TypeScript.Node): boolean =>
  (node.parent as { name?: TypeScript.Node }).name === node ||
  ts.isComputedPropertyName(node.parent);

/** A decimal number anywhere; an integer of two digits or more only where a value is written down. */
function isValue(own: string, node: TypeScript.NumericLiteral): boolean {
  if (isName(node)) return false;
  if (decimal.test(own)) return true;
  if (!longInteger.test(own)) return false;
  const whole = ts.isPrefixUnaryExpression(node.parent) ? node.parent : node;
  const { parent } = whole;
  return (
    ts.isArrayLiteralExpression(parent) ||
    (ts.isVariableDeclaration(parent) && parent.initializer === whole) ||
    (ts.isPropertyAssignment(parent) && parent.initializer === whole)
  );
}

/** The numbers that are values and nothing else, in the order in which they stand. */
function valuesIn(source: string): Found[] {
  const file = ts.createSourceFile('cell.ts', source, ts.ScriptTarget.ES2022, true);
  const found: Found[] = [];
  const visit = (node: TypeScript.Node): void => {
    if (isDecisive(node)) return;
    if (ts.isNumericLiteral(node)) {
      const start = node.getStart(file);
      const text = source.slice(start, node.end);
      if (isValue(text, node)) found.push({ start, text });
    }
    ts.forEachChild(node, visit);
  };
  visit(file);
  return found;
}

/** The text with each number found in it replaced by its stand-in. */
function withStandIns(source: string, found: readonly Found[]): string {
  const pieces: string[] = [];
  let at = 0;
  for (const [n, { start, text }] of found.entries()) {
    pieces.push(source.slice(at, start), standIn(n));
    at = start + text.length;
  }
  return pieces.join('') + source.slice(at);
}

/** A cell with stand-ins for its numbers, and the way to put them into code emitted from it. */
export interface WithoutNumbers {
  readonly source: string;
  /** Undefined where the emitted code does not hold all of those numbers. */
  restore(emitted: string): string | undefined;
}

/**
 * Take the numbers out of a cell, so that cells that differ in nothing else are one text. Each gets a stand-in that no
 * other has: whatever order the compiler writes them in, each comes back in its own place. No type hangs on the
 * digits of a measured value; a cell in which one does is converted as it is.
 */
export function withoutNumbers(source: string): WithoutNumbers {
  const asItIs = { source, restore: (emitted: string) => emitted };
  if (source.includes(begins)) return asItIs;
  const numbers = valuesIn(source);
  if (numbers.length === 0 || numbers.length > mostNumbers) return asItIs;
  return {
    source: withStandIns(source, numbers),
    restore(emitted) {
      const seen = new Set<number>();
      const text = emitted.replace(standIns, (_, digits: string) => {
        const n = Number(digits);
        seen.add(n);
        return numbers[n].text;
      });
      return seen.size === numbers.length ? text : undefined;
    },
  };
}

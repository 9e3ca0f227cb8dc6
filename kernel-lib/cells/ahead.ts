import { decode, encode } from '@jridgewell/sourcemap-codec';
import type { CellCode } from './cell-code';
import type { Conversion } from './convert/converter';

/** A cell of a sheet as it was checked and made ready when the sheet was built, and what that depends upon. */
export interface CellAhead {
  readonly source: string;
  /** Every name that stands in it, in whatever sense. */
  readonly names: readonly string[];
  readonly code: CellCode;
  /** What it declares itself. */
  readonly declares: string;
  /** The declarations that it takes into account, in their order, but for those in `open`. */
  readonly needs: readonly string[];
  /** Names of earlier cells that it hands on, whose type may be another: any at all, or that of any string. */
  readonly open: Readonly<Record<string, 'unknown' | 'string'>>;
  /** What it declares may be written in another way beside other declarations: all of them count. */
  readonly exact?: true;
  /** Digits in it for which any others may stand: the student number. */
  readonly digits?: string;
}

/** The cells of one sheet as they lie in a file, with the name of the build that made them. */
export interface SheetAhead {
  readonly build: string;
  readonly cells: readonly CellAhead[];
}

/** A digest of all sources, put in its place by the build; not there where sources run as they are. */
declare const multislitBuild: string;

/** The cells in the text of such a file; none where another build made it, whose library or compiler may be another. */
export function cellsOf(file: string): readonly CellAhead[] {
  const { build, cells } = JSON.parse(file) as SheetAhead;
  return typeof multislitBuild === 'string' && build === multislitBuild ? cells : [];
}

/** What the compiler would make of a cell after `declarations`, where that is known without it. */
export type Ahead = (declarations: string, source: string) => Conversion | undefined;

/** One statement of a text of declarations. */
interface Declared {
  readonly text: string;
  readonly names: readonly string[];
  readonly is: 'variable' | 'function' | 'import' | 'type';
}

const identifier = String.raw`[\p{ID_Start}$_][\p{ID_Continue}$]*`;
const word = new RegExp(identifier, 'gu');
const words = (text: string): readonly string[] => text.match(word) ?? [];

const heads: readonly (readonly [Declared['is'], RegExp])[] = [
  ['variable', /^(?:declare )?(?:const|let|var) (?!enum )/],
  ['function', new RegExp(`^declare function (?=${identifier}[(<])`, 'u')],
  ['import', /^import (?=.* from '[^'\n]*';$)/],
  [
    'type',
    /^(?:export )?(?:declare )?(?:abstract )?(?:interface|type|class|enum|const enum|namespace|module|global) /,
  ],
];

/** Names in a list of variables: what stands before its type or value, at no depth of brackets. */
function variablesIn(list: string): string[] {
  const names: string[] = [];
  let depth = 0;
  let isNext = true;
  const piece = new RegExp(
    `"(?:[^"\\\\]|\\\\.)*"|'(?:[^'\\\\]|\\\\.)*'|=>|${identifier}|\\S`,
    'gu',
  );
  for (const [one] of list.matchAll(piece)) {
    if (/^[([{<]$/.test(one)) depth += 1;
    else if (/^[)\]}>]$/.test(one)) depth -= 1;
    else if (one === ',' && depth === 0) isNext = true;
    else if (isNext) {
      names.push(one);
      isNext = false;
    }
  }
  return names;
}

/**
 * The statements of a text of declarations as the compiler prints it: each begins a line, and only its own further
 * lines are indented or close a bracket. Undefined where that may be otherwise: in comments and templates.
 */
function readStatements(declarations: string): Declared[] | undefined {
  if (/\/\*|\/\/|`/.test(declarations)) return undefined;
  const found: Declared[] = [];
  for (const text of declarations.trimEnd().split(/\n(?![ \t})\]]|$)/)) {
    const [is, head] = heads.find(([, head]) => head.test(text)) ?? [];
    if (text === '') continue;
    if (!is || !head) return undefined;
    const rest = text.replace(head, '');
    const names =
      is === 'variable'
        ? variablesIn(rest)
        : is === 'import'
          ? words(rest.slice(0, rest.lastIndexOf(' from ')))
          : words(rest).slice(0, 1);
    found.push({ text, names, is });
  }
  return found;
}

/** The latest texts that were read: a cell's own, and those before it, are asked for more than once. */
const read = new Map<string, readonly Declared[] | undefined>();

function statementsOf(declarations: string): readonly Declared[] | undefined {
  if (!read.has(declarations)) {
    if (read.size > 50) read.clear();
    read.set(declarations, readStatements(declarations));
  }
  return read.get(declarations);
}

const stringly = new RegExp(`^declare const ${identifier}(?:: string| = "[\\w -]*");$`, 'u');

/** Whether a name that is open may be declared so. */
const fits = ({ text, names, is }: Declared, open: 'unknown' | 'string'): boolean =>
  names.length === 1 &&
  (open === 'unknown' ? is !== 'import' && is !== 'type' : stringly.test(text));

/** What is asked of a cell to tell which declarations it sees. */
type Seeing = Pick<CellAhead, 'names' | 'declares' | 'open' | 'exact'>;

/**
 * The declarations that a cell can see: those that it names, in whatever way, and does not declare itself, and those
 * that these name. Types may be seen without a name, so all of them are.
 */
function seenBy(
  { names, open, exact }: Seeing,
  own: readonly Declared[],
  all: readonly Declared[],
): Set<Declared> {
  const declared = new Set(own.flatMap(({ names }) => names));
  const named = new Set(names.filter((name) => !declared.has(name)));
  const seen = new Set<Declared>();
  for (let grew = true; grew; ) {
    grew = false;
    for (const one of all) {
      const { names, text, is } = one;
      if (seen.has(one) || !(exact || is === 'type' || names.some((name) => named.has(name))))
        continue;
      seen.add(one);
      grew = true;
      // What the type of a name is made of does not matter where the type does not.
      if (!(names.length === 1 && Object.hasOwn(open, names[0])))
        for (const other of words(text)) named.add(other);
    }
  }
  return seen;
}

/** What is declared still, after a cell that declares `own`; undefined where that is not plain to see. */
function remaining(all: readonly Declared[], own: readonly Declared[]): string | undefined {
  const anew = new Set(own.flatMap(({ names }) => names));
  const kept: string[] = [];
  for (const { text, names, is } of all) {
    const again = names.filter((name) => anew.has(name)).length;
    if (again === 0) kept.push(`${text}\n`);
    else if (again < names.length || is === 'type') return undefined;
    else if (is === 'import' && !own.some((one) => one.text === text)) return undefined;
  }
  return kept.join('');
}

/**
 * What a cell depends upon of the declarations before it, but for those in `open`; undefined where that is not plain to
 * see, or one of those in `open` is not there or no variable and no function.
 */
export function neededBy(cell: Seeing, declarations: string): string[] | undefined {
  const { declares, open } = cell;
  const [all, own] = [statementsOf(declarations), statementsOf(declares)];
  if (!all || !own) return undefined;
  const seen = seenBy(cell, own, all);
  const needs: string[] = [];
  const handedOn = new Set<string>();
  for (const one of all) {
    if (!seen.has(one)) continue;
    const [name] = one.names;
    const isOpen = one.names.length === 1 && Object.hasOwn(open, name);
    if (!isOpen) needs.push(one.text);
    else if (!fits(one, open[name]) || handedOn.has(name)) return undefined;
    else handedOn.add(name);
  }
  return handedOn.size === Object.keys(open).length ? needs : undefined;
}

/** What is declared after a cell; undefined where that is not plain to see. */
export function declaredAfter(declarations: string, declares: string): string | undefined {
  const [all, own] = [statementsOf(declarations), statementsOf(declares)];
  const rest = all && own && remaining(all, own);
  return rest === undefined ? undefined : declares + rest;
}

/** The conversion of a cell made ahead, after other declarations, if what it depends upon is the same. */
function after(cell: CellAhead, declarations: string): Conversion | undefined {
  const needs = neededBy(cell, declarations);
  const isSame =
    needs?.length === cell.needs.length && needs.every((text, n) => text === cell.needs[n]);
  const declared = isSame ? declaredAfter(declarations, cell.declares) : undefined;
  return declared === undefined
    ? undefined
    : { diagnostics: [], declarations: declared, code: cell.code };
}

/** Later segments of the line in which the text at `column` grew by `by`, in a source map and in what it maps. */
function shifted(
  sourceMap: string,
  line: number,
  column: number,
  from: number,
  by: number,
): string {
  const map = JSON.parse(sourceMap) as { mappings: string };
  const lines = decode(map.mappings);
  for (const segment of lines[line]) {
    if (segment[0] > column) segment[0] += by;
    if (segment.length > 1 && (segment[3] as number) > from) (segment[3] as number) += by;
  }
  return JSON.stringify({ ...map, mappings: encode(lines) });
}

const columnIn = (text: string, offset: number) => offset - text.lastIndexOf('\n', offset - 1) - 1;

/** The cell with other digits in the place of those that may be others. */
function withDigits(cell: CellAhead, others: string): CellAhead {
  const { digits = '', source, declares, code } = cell;
  const put = (text: string) => text.replace(digits, others);
  const by = others.length - digits.length;
  const [inSource, inPlain, inText] = [source, code.plain, code.text].map((text) =>
    text.indexOf(digits),
  );
  const line = code.plain.slice(0, inPlain).split('\n').length - 1;
  return {
    ...cell,
    source: put(source),
    declares: put(declares),
    code: {
      ...code,
      text: put(code.text),
      plain: put(code.plain),
      anchors: code.anchors.map(([now, before]) => [
        now > inText ? now + by : now,
        before > inPlain ? before + by : before,
      ]),
      sourceMap: shifted(
        code.sourceMap,
        line,
        columnIn(code.plain, inPlain),
        columnIn(source, inSource),
        by,
      ),
    },
  };
}

/** The cell itself or with other digits, where it is `source` then. */
function spelled(cell: CellAhead, source: string): CellAhead | undefined {
  if (cell.source === source) return cell;
  if (cell.digits === undefined) return undefined;
  const at = cell.source.indexOf(cell.digits);
  const end = source.length - (cell.source.length - at - cell.digits.length);
  const others = source.slice(at, end);
  if (!/^\d{1,20}$/.test(others)) return undefined;
  const made = withDigits(cell, others);
  return made.source === source ? made : undefined;
}

/**
 * Conversions made ahead, for whoever asks for one of a cell that reads as it did then and stands after declarations
 * that are the same as then as far as it goes by them.
 *
 * What a cell goes by are the declarations whose names stand in it, in whatever sense, or in one of these. What a
 * student answers elsewhere does not change them. A name that a cell only hands on to a function that takes anything
 * may be declared in any way. All else is left to the compiler.
 */
export function aheadOf(cells: readonly CellAhead[]): Ahead {
  return (declarations, source) => {
    for (const cell of cells) {
      const own = spelled(cell, source);
      const found = own && after(own, declarations);
      if (found) return found;
    }
    return undefined;
  };
}

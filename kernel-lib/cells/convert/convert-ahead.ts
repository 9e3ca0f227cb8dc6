import { type CellAhead, declaredAfter, neededBy } from '../ahead';
import { withoutExports } from './cell-source';
import type { CellConverter, Conversion } from './converter';
import { declaredValues } from './declarations';
import { emitCell } from './emit';
import { isReference, parseScoped } from './scopes';
import { type TypeScript, ts } from './typescript';

/** Cells of a sheet made ready ahead. `ticking` differ from `plain` in their code alone: it calls `$tick()`. */
export interface MadeAhead {
  readonly plain: readonly CellAhead[];
  readonly ticking: readonly CellAhead[];
}

/** A cell that asks for more than the library may find something else beside another notebook. */
const asksForMore = (source: string): boolean =>
  /\b(?:import|require)\b|<reference\b/.test(
    source.replace(/^import \{[^{}]*\} from 'multislit';$/gm, ''),
  );

/** All names in a cell, and those of them with which it does nothing but hand them on to what it calls, as they are. */
function namesIn(source: string): { names: string[]; handedOn: string[] } {
  const names = new Set<string>();
  const handedOn = new Set<string>();
  const used = new Set<string>();
  const visit = (node: TypeScript.Node): void => {
    if (ts.isIdentifier(node)) {
      const { parent, text } = node;
      names.add(text);
      const isGiven = ts.isCallExpression(parent) && parent.arguments.includes(node);
      if (isReference(node)) (isGiven ? handedOn : used).add(text);
    }
    ts.forEachChild(node, visit);
  };
  visit(parseScoped(source));
  return { names: [...names], handedOn: [...handedOn].filter((name) => !used.has(name)) };
}

/** What a cell declares itself, where the rest is what was declared before and is not declared anew. */
function ownPart(before: string, { declarations }: Conversion): string | undefined {
  for (let at = 0; at <= declarations.length; at = declarations.indexOf('\n', at) + 1) {
    const own = declarations.slice(0, at);
    if (declaredAfter(before, own) === declarations) return own;
    if (declarations.indexOf('\n', at) < 0) return undefined;
  }
  return undefined;
}

const same = (one: unknown, other: unknown) => JSON.stringify(one) === JSON.stringify(other);

/** As few declarations as a cell goes by: a name whose type may be another has the one of which least is known. */
function least(needs: readonly string[], open: CellAhead['open']): string {
  const named = Object.entries(open).map(([name, type]) => `declare const ${name}: ${type};`);
  return [...named, ...needs].map((text) => `${text}\n`).join('');
}

/**
 * Convert the cells of a sheet, one after the other as they stand, and find out what each depends upon: among that
 * alone it is converted again. What comes out otherwise then is not kept, but left to the compiler in its time.
 *
 * @param converter without the platform's own types, which no browser has
 * @param digits in a cell, such as the student number, for which others may stand
 */
export async function convertAhead(
  { convert }: Pick<CellConverter, 'convert'>,
  sources: readonly string[],
  digits: string,
): Promise<MadeAhead> {
  const plain: CellAhead[] = [];
  const ticking: CellAhead[] = [];

  /** Whether the cell comes out the same among the least that it is said to depend upon. */
  async function holds(cell: CellAhead): Promise<boolean> {
    const before = least(cell.needs, cell.open);
    const made = await convert(before, cell.source);
    return same(made.code, cell.code) && declaredAfter(before, cell.declares) === made.declarations;
  }

  /** The cell with all that it depends upon; undefined where that cannot be told. */
  async function depending(
    cell: Omit<CellAhead, 'needs' | 'open'>,
    handedOn: readonly string[],
    before: string,
  ): Promise<CellAhead | undefined> {
    const among = (open: CellAhead['open']): CellAhead | undefined => {
      const needs = neededBy({ ...cell, open }, before);
      return needs && { ...cell, needs, open };
    };
    let open: CellAhead['open'] = {};
    let known: CellAhead | undefined;
    for (const name of handedOn)
      for (const type of ['unknown', 'string'] as const) {
        const tried = among({ ...open, [name]: type });
        if (Object.hasOwn(open, name) || !tried || !(await holds(tried))) continue;
        open = tried.open;
        known = tried;
      }
    const closed = known ?? among({});
    return closed && (known || (await holds(closed))) ? closed : undefined;
  }

  let declarations = '';
  for (const source of sources) {
    const before = declarations;
    const made = await convert(before, source);
    declarations = made.declarations;
    const { code } = made;
    if (!code || made.sideFiles || asksForMore(source) || withoutExports(source) !== source)
      continue;
    const declares = ownPart(before, made);
    if (declares === undefined) continue;
    const { names, handedOn } = namesIn(source);
    const has = (text: string) => text.split(digits).length === 2;
    const cell = await depending(
      {
        source,
        names,
        code,
        declares,
        ...(/[|&]/.test(declares) && { exact: true as const }),
        ...([source, declares, code.plain, code.text].every(has) && { digits }),
      },
      handedOn,
      before,
    );
    if (!cell) continue;
    plain.push(cell);
    ticking.push({ ...cell, code: emitCell(source, declaredValues(before), true) });
  }
  return { plain, ticking };
}

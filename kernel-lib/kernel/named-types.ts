import { applyEdits, type Edit } from './edits';
import { type TypeScript, ts } from './typescript';

interface Found {
  readonly code: number;
  readonly start: { readonly offset: number };
  readonly fileName?: string;
}

/** "… has or is using name … from external module … but cannot be named", and its kin. */
const isUnnameable = ({ code }: Found) => code >= 4000 && code < 4200;

function importOf(node: TypeScript.Expression | undefined): string | undefined {
  if (!node || !ts.isAwaitExpression(node) || !ts.isCallExpression(node.expression))
    return undefined;
  const {
    expression,
    arguments: [from],
  } = node.expression;
  if (expression.kind !== ts.SyntaxKind.ImportKeyword || !from || !ts.isStringLiteral(from))
    return undefined;
  return `typeof import(${JSON.stringify(from.text)})`;
}

/** The annotation that lets a declaration's type be written down. */
function annotation(node: TypeScript.Node): Edit | undefined {
  if (ts.isVariableDeclaration(node) && !node.type) {
    const text = `: ${importOf(node.initializer) ?? 'any'}`;
    return { start: node.name.end, end: node.name.end, text };
  }
  if (ts.isFunctionDeclaration(node) && !node.type && node.body) {
    const at = node.body.getStart();
    return { start: at, end: at, text: ': any ' };
  }
  return undefined;
}

/**
 * The cell with types written to what the compiler cannot name: a module by its import, all else `any`. That is
 * for checking and declaring only. Undefined where there is nothing of the kind, or something else is wrong too.
 */
export function namedTypes(source: string, found: readonly Found[]): string | undefined {
  if (found.length === 0 || !found.every(isUnnameable)) return undefined;
  const file = ts.createSourceFile('cell.ts', source, ts.ScriptTarget.ES2022, true);
  const edits = new Map<number, Edit>();
  const visit = (node: TypeScript.Node): void => {
    const isMeant = found.some(
      ({ start }) => node.getStart(file) <= start.offset && start.offset < node.end,
    );
    if (!isMeant) return;
    const edit = annotation(node);
    if (edit) edits.set(edit.start, edit);
    else ts.forEachChild(node, visit);
  };
  ts.forEachChild(file, visit);
  return edits.size > 0 ? applyEdits(source, [...edits.values()]).text : undefined;
}

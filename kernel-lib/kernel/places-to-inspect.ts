import { type TypeScript, ts } from './typescript';

/**
 * Where to ask the compiler what a reader means with the cursor at `offset`: the name there, the name that ends
 * there, and last the function whose arguments are being written.
 */
export function placesToInspect(source: string, offset: number): number[] {
  const places = [offset];
  if (offset > 0 && /[\p{ID_Continue}$]/u.test(source[offset - 1])) places.push(offset - 1);
  const callee = calleeAround(source, offset);
  return callee === undefined ? places : [...places, callee];
}

function calleeAround(source: string, offset: number): number | undefined {
  const file = ts.createSourceFile('cell.ts', source, ts.ScriptTarget.ES2022, true);
  let found: number | undefined;
  const visit = (node: TypeScript.Node): void => {
    if (ts.isCallExpression(node) || ts.isNewExpression(node)) {
      const { expression } = node;
      const open = source.indexOf('(', expression.end);
      const isClosed = source[node.end - 1] === ')';
      const isInside =
        open >= 0 && offset > open && (isClosed ? offset < node.end : offset >= open);
      if (isInside) {
        const name = ts.isPropertyAccessExpression(expression) ? expression.name : expression;
        found = name.getStart(file);
      }
    }
    ts.forEachChild(node, visit);
  };
  visit(file);
  return found;
}

import { type TypeScript, ts } from '../kernel/typescript';

/** The student number as it stands in the code of its cell. */
interface NumberInCode {
  /** What the code makes `studentNumber`, as text. */
  readonly value: string;
  /** Where each value that it is given stands, first and last character of the source. */
  readonly places: readonly { readonly start: number; readonly end: number }[];
  /** Nothing else is done in the cell. */
  readonly isAlone: boolean;
}

const isNumber = (node: TypeScript.Node) => ts.isIdentifier(node) && node.text === 'studentNumber';

/** What a statement gives the student number, if it does. */
function given(statement: TypeScript.Statement): TypeScript.Expression | undefined {
  if (ts.isVariableStatement(statement)) {
    const own = statement.declarationList.declarations.filter(({ name }) => isNumber(name));
    return own.at(-1)?.initializer;
  }
  if (!ts.isExpressionStatement(statement)) return undefined;
  const { expression } = statement;
  return ts.isBinaryExpression(expression) &&
    expression.operatorToken.kind === ts.SyntaxKind.EqualsToken &&
    isNumber(expression.left)
    ? expression.right
    : undefined;
}

/**
 * Read the student number from the code by the compiler's syntax tree: what stands in a comment or in a text is none.
 * Nothing is run. The last statement that gives it counts, as it would in a run.
 *
 * @returns undefined where no statement gives it a plain text or number
 */
export function numberInCode(source: string): NumberInCode | undefined {
  const file = ts.createSourceFile('number.ts', source, ts.ScriptTarget.Latest, false);
  const values = file.statements.flatMap((statement) => given(statement) ?? []);
  const last = values.at(-1);
  if (!last || !(ts.isStringLiteralLike(last) || ts.isNumericLiteral(last))) return undefined;
  const isPlain = ({ kind }: TypeScript.Statement) => kind === ts.SyntaxKind.EmptyStatement;
  return {
    value: last.text.trim(),
    places: values.map(({ pos, end }) => ({ start: pos, end })),
    isAlone: file.statements.filter((one) => !isPlain(one)).length === 1,
  };
}

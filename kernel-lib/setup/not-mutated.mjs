// A plugin of Stryker for `npm run mutants`: sentences for a reader are left as they are, since tests look for a few
// words of them only. A sentence is text with a blank in it; names such as 'agrees' are mutated like all else.

const isPlain = ({ type }) => type === 'Identifier' || type === 'MemberExpression';

/** @param {{ node: { type: string } }} path a path of Babel's syntax tree */
function shouldIgnore({ node }) {
  if (node.type === 'StringLiteral' && /\s/.test(node.value)) return 'a sentence';
  const isSentence =
    node.type === 'TemplateLiteral' &&
    node.quasis.some(({ value }) => /\s/.test(value.raw)) &&
    node.expressions.every(isPlain);
  return isSentence ? 'a sentence' : undefined;
}

export const strykerPlugins = [{ kind: 'Ignore', name: 'sentences', value: { shouldIgnore } }];

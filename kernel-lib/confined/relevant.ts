import { declaredValues } from '../kernel/declarations';
import { ts } from '../kernel/typescript';

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

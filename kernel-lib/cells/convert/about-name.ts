import type { TypeScript } from './typescript';

type Parts = readonly { readonly text: string }[] | undefined;

const textOf = (parts: Parts): string =>
  (parts ?? [])
    .map(({ text }) => text)
    .join('')
    .trim();

/** How a tag of a docstring is put; what is not here says nothing to who types a cell. */
const tags: Readonly<Record<string, ((text: string) => string) | undefined>> = {
  param: (text) => text.replace(/^(\S+)\s+/, '$1: '),
  returns: (text) => `Gives ${text}`,
  return: (text) => `Gives ${text}`,
  throws: (text) => `Refuses: ${text}`,
  example: (text) => `Example: ${text}`,
};

/** What the compiler knows of a name, for a reader: what it is, what is said of it, what it takes and gives, an example. */
export function aboutName({
  displayParts,
  documentation,
  tags: found,
}: TypeScript.QuickInfo): string {
  const head = textOf(displayParts)
    .replace(/^\(alias\) /, '')
    .replace(/\nimport [^\n]*$/, '');
  const lines = (found ?? []).flatMap(({ name, text }) => {
    const put = tags[name];
    const said = textOf(text);
    return put && said !== '' ? [put(said)] : [];
  });
  return [head, textOf(documentation), lines.join('\n')].filter((one) => one !== '').join('\n\n');
}

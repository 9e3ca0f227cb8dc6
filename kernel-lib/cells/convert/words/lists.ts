import { closes, innermost, readBrackets } from './brackets';
import { asksForList, type Entry, expects, type Finding, rewritten, type Said } from './finding';

/** Things in a list without commas between them. */
function listWithoutCommas(finding: Finding): Said | undefined {
  const { at, source, text } = finding;
  if (
    !expects(finding, ',') ||
    innermost(finding.source, finding.at) !== '[' ||
    !/^[\p{L}\d_$.]/u.test(text)
  )
    return undefined;
  const start = readBrackets(source, at).open.at(-1)?.at ?? at;
  const stop = source.indexOf(']', at);
  const inside = source.slice(start + 1, stop);
  if (stop < 0 || !/^\s*-?[\p{L}\d_$.]+(?:\s+-?[\p{L}\d_$.]+)+\s*$/u.test(inside)) return undefined;
  return {
    says: 'The values of a list stand between commas.',
    changes: [{ start: start + 1, end: stop, text: inside.trim().split(/\s+/).join(', ') }],
  };
}

/** Semicolons between values. */
function semicolons(finding: Finding): Said | undefined {
  const { text, at, source, code } = finding;
  if (text !== ';' || code !== 1005) return undefined;
  const { sign, at: start = 0 } = readBrackets(source, at).open.at(-1) ?? {};
  if (sign !== '[' && sign !== '(') return undefined;
  const line = source.slice(at).split('\n', 1)[0];
  const stop = line.indexOf(closes(sign));
  if (stop < 0 || !/[^\s;]/.test(line.slice(0, stop))) return undefined;
  const inside = source.slice(start + 1, at + stop);
  if (inside.includes('\n')) return undefined;
  return {
    says:
      sign === '['
        ? 'The values of a list stand between commas, and decimals have a point.'
        : 'What stands in the brackets of a function is separated by commas.',
    changes: [{ start: start + 1, end: at + stop, text: inside.replaceAll(';', ',') }],
  };
}

/** `const pair = fitted[0], fitted[1];`: behind a comma of a declaration a new name is expected. */
function twoValues(finding: Finding): Said | undefined {
  const { before, after, code, lineAt } = finding;
  const line = before + after;
  const first = before.lastIndexOf(';') + 1;
  const statement =
    /^(\s*(?:const|let|var)\s+[\p{L}_$][\p{L}\p{N}_$]*(?:\s*:\s*[^=]+)?\s*=\s*)([^;=]*,[^;=]*?)\s*(?:;|\/\/|$)/u.exec(
      line.slice(first),
    );
  const isTold = code === 2451 || code === 1005 || code === 1134 || code === 1181;
  if (!isTold || !statement) return undefined;
  const [, head, values] = statement;
  const start = first + head.length;
  const { open, stray } = readBrackets(values);
  // Inside of brackets a comma is in its place.
  const comma = outerComma(values);
  if (open.length > 0 || stray.length > 0 || comma === undefined || before.length <= start + comma)
    return undefined;
  // A plain name there is announced, and that may be meant.
  if (/^,\s*[\p{L}_$][\p{L}\p{N}_$]*\s*$/u.test(values.slice(comma))) return undefined;
  const from = lineAt + start;
  return {
    says: 'Behind a comma a new name is expected here. Several values make a list, in square brackets.',
    changes: [{ start: from, end: from + values.length, text: `[${values}]` }],
    at: from + comma,
    end: from + comma + 1,
  };
}

/** The first comma that stands in no brackets. */
function outerComma(text: string): number | undefined {
  for (let at = text.indexOf(','); at >= 0; at = text.indexOf(',', at + 1))
    if (readBrackets(text, at).open.length === 0) return at;
  return undefined;
}

/** Lists, and what is taken for one. */
export const listEntries: readonly Entry[] = [
  {
    name: 'list comprehension',
    say(finding) {
      const pattern = /\[\s*(.+?)\s+for\s+([\p{L}\p{N}_$]+)\s+in\s+([\p{L}\p{N}_$.]+)\s*\]/u;
      if (!pattern.test(finding.before + finding.after)) return undefined;
      return {
        says: 'A new list of changed values is made by list.map((x) => …).',
        changes: rewritten(finding, pattern, '$3.map(($2) => $1)'),
      };
    },
  },
  { name: 'list without commas', say: listWithoutCommas },
  { name: 'semicolons between values', say: semicolons },
  {
    name: 'braces for a list',
    say(finding) {
      const { source, at } = finding;
      const start = readBrackets(source, at).open.at(-1)?.at ?? at;
      const stop = source.indexOf('}', at);
      const inside = source.slice(start + 1, stop);
      if (!expects(finding, ':') || source[start] !== '{' || stop < 0) return undefined;
      if (!/^[\s\d.,e+-]+$/.test(inside)) return undefined;
      return {
        says: 'A list stands in square brackets.',
        changes: [{ start, end: stop + 1, text: `[${inside}]` }],
      };
    },
  },
  {
    name: 'several names at once',
    say(finding) {
      const { code, before, after } = finding;
      const pattern =
        /^(\s*)(?:(const|let|var)\s*)?\(?\s*((?:[\p{L}_$][\p{L}\p{N}_$]*\s*,\s*)+[\p{L}_$][\p{L}\p{N}_$]*)\s*\)?\s*=\s*([^=;]+?)(\s*;?\s*)$/u;
      const [, , word, , values] = pattern.exec(before + after) ?? [];
      if (![1134, 2304, 2695].includes(code) || values === undefined) return undefined;
      if (word !== undefined && !/\(/.test(before + after)) return undefined;
      const list = /,/.test(values) && !/[[({]/.test(values) ? `[${values}]` : values;
      return {
        says: 'Several names at once stand in square brackets, and so do their values.',
        changes: rewritten(
          finding,
          pattern,
          (_all, indent, how, names, _values, end) =>
            `${indent}${how ?? 'const'} [${names.trim()}] = ${list}${end}`,
        ),
      };
    },
  },
  {
    name: 'round brackets for a list',
    say(finding) {
      const { code, source, at } = finding;
      const open = readBrackets(source, at).open.at(-1);
      const stop = source.indexOf(')', at);
      const inside = source.slice((open?.at ?? at) + 1, stop);
      const hasSeveral = /, /.test(inside) || (asksForList(finding) && inside.includes(','));
      if (code !== 2695 || open?.sign !== '(' || stop < 0 || !hasSeveral) return undefined;
      if (/[()[\]{}\n]/.test(inside) || /[\p{L}\p{N}_$]$/u.test(source.slice(0, open.at)))
        return undefined;
      return {
        says: 'A list stands in square brackets.',
        changes: [{ start: open.at, end: stop + 1, text: `[${inside}]` }],
        at: open.at,
        end: open.at + 1,
      };
    },
  },
  {
    name: 'part of a list',
    say(finding) {
      const { before, after, at, text } = finding;
      const [, list, from] = /([\p{L}_$][\p{L}\p{N}_$.]*)\[([\w.]*)$/u.exec(before) ?? [];
      const [whole, to] = /^:([\w.]*)\]/.exec(after) ?? [];
      if (text !== ':' || !list || !whole || finding.code !== 1005) return undefined;
      const inside = [from || '0', ...(to ? [to] : [])].join(', ');
      return {
        says: 'A part of a list is list.slice(from, to); places count from 0, and that of to is left out.',
        changes: [
          {
            start: at - list.length - from.length - 1,
            end: at + whole.length,
            text: `${list}.slice(${inside})`,
          },
        ],
      };
    },
  },
  { name: 'two values by a comma', say: twoValues },
];

import {
  type Entry,
  expects,
  type Finding,
  isStrayWord,
  replaced,
  rewritten,
  type Said,
} from './finding';

function printWithoutBrackets(finding: Finding): Said | undefined {
  const { text, source, end } = finding;
  if (!/^(?:print|println|echo|disp|show|puts)$/.test(text) || finding.code !== 1434)
    return undefined;
  const [whole, what] = /^\s+([^\n;]+?)(?=\s*;?\s*(?:\n|$))/.exec(source.slice(end)) ?? [];
  if (!whole) return undefined;
  const by = text === 'show' ? 'show' : 'console.log';
  return {
    says: `A value is shown by ${by}(…), with brackets.`,
    changes: [{ start: finding.at, end: end + whole.length, text: `${by}(${what})` }],
  };
}

/** Words and signs of other languages. */
export const languageEntries: readonly Entry[] = [
  { name: 'print without brackets', say: printWithoutBrackets },
  {
    name: 'and, or',
    say(finding) {
      if (!isStrayWord(finding, /^(?:and|or)$/i) || finding.code !== 1005) return undefined;
      const sign = /and/i.test(finding.text) ? '&&' : '||';
      return { says: `“${finding.text}” is written ${sign}`, changes: replaced(finding, sign) };
    },
  },
  {
    name: 'not',
    say(finding) {
      if (finding.text !== 'not' || finding.code !== 2304) return undefined;
      const [whole, inside] = /^not\s+([^()]*)(?=\))/.exec(finding.after) ?? [];
      return {
        says: '“not” is written ! before what it turns round, with brackets where that is more than one word.',
        changes: whole
          ? [{ start: finding.at, end: finding.at + whole.length, text: `!(${inside})` }]
          : undefined,
      };
    },
  },
  {
    name: 'mod, div',
    say(finding) {
      if (!expects(finding, ',') || !/^(?:mod|div)$/.test(finding.text)) return undefined;
      return finding.text === 'mod'
        ? { says: 'The remainder of a division is written %', changes: replaced(finding, '%') }
        : { says: 'A division without its remainder is Math.floor(a / b).' };
    },
  },
  {
    name: 'else if',
    say(finding) {
      if (!isStrayWord(finding, /^(?:elif|elsif|elseif)$/i)) return undefined;
      return {
        says: `“${finding.text}” is two words here: else if (…) { … }`,
        changes: replaced(finding, 'else if'),
      };
    },
  },
  {
    name: 'if without brackets',
    say(finding) {
      const [, word] = /\b(if|while)\s+$/.exec(finding.before) ?? [];
      if (!expects(finding, '(') || !word) return undefined;
      const pattern = /\b(if|while)\s+([^({:]+?)\s*(?:([:{])\s*(.*))?$/;
      return {
        says: `A condition stands in round brackets, and what follows from it in braces: ${word} (…) { … }`,
        changes: rewritten(finding, pattern, (_all, head, condition, open, rest) =>
          open === ':' || open === undefined
            ? `${head} (${condition}) {`
            : `${head} (${condition}) { ${rest}`.trimEnd(),
        ),
      };
    },
  },
  {
    name: 'counting loop',
    say(finding) {
      const { before, after } = finding;
      const line = before + after;
      const python = /\bfor\s+(\w+)\s+in\s+range\(\s*(?:([\w.]+)\s*,\s*)?([\w.]+)\s*\)\s*:?/;
      const colon = /\bfor\s+(\w+)\s*=\s*([\w.]+)\s*:\s*([\w.]+)/;
      const commas = /\bfor\s*\(([^;,]+),([^;,]+),([^;,]+)\)/;
      const says =
        'A loop that counts is written for (let i = 0; i < 10; i += 1) { … }, with semicolons.';
      if (expects(finding, '(') && python.test(line))
        return {
          says,
          changes: rewritten(
            finding,
            python,
            (_all, name, from, to) =>
              `for (let ${name} = ${from ?? 0}; ${name} < ${to}; ${name} += 1) {`,
          ),
        };
      if (expects(finding, '(') && colon.test(line))
        return {
          says,
          changes: rewritten(finding, colon, 'for (let $1 = $2; $1 <= $3; $1 += 1) {'),
        };
      if (commas.test(line) && /\bfor\s*\(/.test(before)) {
        const comma = finding.lineAt + line.indexOf(',', line.search(/\bfor\s*\(/));
        const changes = rewritten(finding, commas, 'for ($1;$2;$3)');
        return { says, changes, at: comma, end: comma + 1 };
      }
      return undefined;
    },
  },
  {
    name: 'loop over a list',
    say(finding) {
      const pattern = /^(\s*)for\s+(\w+)\s+in\s+([\w.]+)\s*:?/;
      if (!expects(finding, '(') || !pattern.test(finding.before + finding.after)) return undefined;
      return {
        says: 'A loop over the values of a list is written for (const x of list) { … }',
        changes: rewritten(finding, pattern, '$1for (const $2 of $3) {'),
      };
    },
  },
  {
    name: 'then, end',
    say(finding) {
      if (!isStrayWord(finding, /^(?:then|end|endif|endfor|fi|done)$/)) return undefined;
      if (![1434, 2304, 1005].includes(finding.code)) return undefined;
      if (finding.text !== 'then')
        return {
          says: `Blocks end with }, not with “${finding.text}”.`,
          changes: replaced(finding, '}'),
        };
      const [whole, isLast] = /^then(\s*$|\s+)/.exec(finding.after) ?? ['then'];
      return {
        says: 'There is no “then”: what follows stands behind the brackets, and where it is more than one line, in braces.',
        changes: [
          {
            start: finding.at,
            end: finding.at + whole.length,
            text: isLast?.trim() === '' && finding.after.trim() === 'then' ? '{' : '',
          },
        ],
      };
    },
  },
  {
    name: 'def',
    say(finding) {
      if (!isStrayWord(finding, /^(?:def|fun|func|fn|sub|proc|procedure)$/) || finding.code > 2400)
        return undefined;
      const pattern =
        /\b(?:def|fun|func|fn|sub|proc|procedure)\s+([\p{L}\p{N}_$]+)\s*\(([^)]*)\)\s*[:{]?/u;
      const changes = rewritten(finding, pattern, 'function $1($2) {');
      return {
        says: 'A function begins with the word function, its lines stand between { and }, and its value behind return.',
        changes,
      };
    },
  },
  {
    name: 'lambda',
    say(finding) {
      if (!isStrayWord(finding, /^lambda$/) || !/^lambda\s+[\p{L}\w, ]+:/u.test(finding.after))
        return undefined;
      return {
        says: 'A short function is written (x) => …',
        changes: rewritten(finding, /lambda\s+([\p{L}\w, ]+):\s*/u, '($1) => '),
      };
    },
  },
  {
    name: 'thin arrow',
    say(finding) {
      if (finding.code !== 1109 || finding.text !== '>' || !finding.before.endsWith('-'))
        return undefined;
      return {
        says: 'The arrow of a function is written =>',
        changes: [{ start: finding.at - 1, end: finding.end, text: '=>' }],
        at: finding.at - 1,
        end: finding.end,
      };
    },
  },
  {
    name: 'arrow of one stroke',
    say(finding) {
      if (!expects(finding, '=>') || finding.text !== '=') return undefined;
      return {
        says: 'The arrow of a function is written =>, with both signs.',
        changes: replaced(finding, '=>'),
      };
    },
  },
  {
    name: '@ function',
    say(finding) {
      const pattern = /@\s*\(([^)]*)\)\s*/;
      const isTold = finding.code === 1109 || finding.code === 1005;
      if (!isTold || !pattern.test(finding.before + finding.after)) return undefined;
      const at = finding.lineAt + (finding.before + finding.after).indexOf('@');
      return {
        says: 'A short function is written (x) => …',
        changes: rewritten(finding, pattern, '($1) => '),
        at,
        end: at + 1,
      };
    },
  },
  {
    name: 'function by an equation',
    say(finding) {
      const { code, before, after } = finding;
      const pattern =
        /^(\s*)(?:(?:const|let|var|function)\s+)?(?!(?:const|let|var|if|while|for|function)\b)([\p{L}_$][\p{L}\p{N}_$]*)\s*\(([^()]*)\)(?:\s*:\s*\w+)?\s*=(?![=>])\s*(.*)$/u;
      if (![1005, 1144, 2364].includes(code) || !pattern.test(before + after)) return undefined;
      const line = before + after;
      const equals = finding.lineAt + line.indexOf('=', line.indexOf(')'));
      return {
        says: 'A function is written with an arrow, or with the word function and return.',
        changes: rewritten(finding, pattern, '$1const $2 = ($3) => $4'),
        at: equals,
        end: equals + 1,
      };
    },
  },
  {
    name: 'function without braces',
    say(finding) {
      const isTold = expects(finding, '{') || finding.code === 1144;
      if (!isTold || finding.text !== 'return') return undefined;
      const [whole, value] = /^(return\s[^;]*);?/.exec(finding.after) ?? [];
      return {
        says: 'The lines of a function stand between { and }.',
        changes: whole
          ? [{ start: finding.at, end: finding.at + whole.length, text: `{ ${value.trimEnd()}; }` }]
          : undefined,
      };
    },
  },
  {
    name: 'import of another language',
    say(finding) {
      const line = finding.before + finding.after;
      if (
        finding.code >= 2000 ||
        !/^\s*(?:import\s+[\w.]+(?:\s+as\s+\w+)?\s*;?\s*$|from\s+[\w.]+\s+import\b|using\s)/.test(
          line,
        )
      )
        return undefined;
      return {
        says: "That is of another language. The functions of mathematics are there without any import, as Math.sin and Math.PI; names of the library are fetched by import { um } from 'multislit';",
      };
    },
  },
  {
    name: ':=',
    say(finding) {
      const { text, before, at } = finding;
      if (text !== '=' || !before.endsWith(':') || finding.code >= 2000) return undefined;
      const isAnnounced = /^\s*(?:const|let|var)\s/.test(before);
      const [, indent, name] = /^(\s*)([\p{L}_$][\p{L}\p{N}_$]*)\s*:$/u.exec(before) ?? [];
      return {
        says: 'A value is given by = alone, and a new name announced by const: const x = 3;',
        changes:
          isAnnounced || name === undefined
            ? [{ start: at - 1, end: at + 1, text: '=' }]
            : [{ start: finding.lineAt, end: at + 1, text: `${indent}const ${name} =` }],
      };
    },
  },
  {
    name: '== for =',
    say(finding) {
      if (!expects(finding, ',') || !/^={2,3}$/.test(finding.text)) return undefined;
      if (!/^\s*(?:const|let|var)\s+[\p{L}\p{N}_$]+\s*$/u.test(finding.before)) return undefined;
      return {
        says: 'A value is given by one =; two or three compare.',
        changes: replaced(finding, '='),
      };
    },
  },
  {
    name: '=<',
    say(finding) {
      const line = finding.before + finding.after;
      if (!/[^=<>]=<(?!=)\s*[\w.-]/.test(line) || finding.code >= 2000) return undefined;
      const at = finding.lineAt + line.search(/=</);
      return {
        says: 'Less or equal is written <=, with the = last.',
        changes: rewritten(finding, /=</, '<='),
        at,
        end: at + 2,
      };
    },
  },
  {
    name: '<>',
    say(finding) {
      if (finding.code !== 1109 || finding.text !== '>' || !finding.before.endsWith('<'))
        return undefined;
      return {
        says: 'Not equal is written !==',
        changes: [{ start: finding.at - 1, end: finding.end, text: '!==' }],
      };
    },
  },
  {
    name: 'bars for the absolute value',
    say(finding) {
      const { code, text, at, after } = finding;
      const [whole, inside] = /^\|([^|\n]+)\|/.exec(after) ?? [];
      if (code !== 1109 || text !== '|' || !whole) return undefined;
      return {
        says: 'The absolute value is Math.abs(…).',
        changes: [{ start: at, end: at + whole.length, text: `Math.abs(${inside.trim()})` }],
      };
    },
  },
];

import { closes, innermost, readBrackets } from './brackets';
import { type Entry, expects, type Finding, replaced, rewritten, type Said } from './finding';
import { units } from './numbers';

/** A closing bracket or quote that is missing, told where the opening one stands. */
function openBracket(finding: Finding): Said | undefined {
  const { source, at, code } = finding;
  const isTold = code === 1005 || code === 1109 || code === 1137;
  if (!isTold) return undefined;
  const wanted = /^'([)\]},])' expected/.exec(finding.message)?.[1];
  if (wanted === undefined) return undefined;
  const here = readBrackets(source, at);
  const whole = readBrackets(source);
  const open = here.open.at(-1);
  if (!open || whole.quote) return undefined;
  // As many as close as open, and each where it may: something else is wrong.
  if (whole.open.length === 0 && whole.stray.length === 0) return undefined;
  const close = closes(open.sign);
  if (wanted !== ',' && wanted !== close) return undefined;
  const inLine = source.lastIndexOf('\n', at - 1) === source.lastIndexOf('\n', open.at - 1);
  const behind = source.slice(at, at + 1);
  const isOther = behind === ')' || behind === ']' || behind === '}';
  const says = isOther
    ? `The bracket ${open.sign} that is opened here is closed by ${behind}, but ${close} belongs to it.`
    : `The bracket ${open.sign} that is opened here is not closed: a ${close} is missing.`;
  const gap = /[ \t]*$/.exec(source.slice(0, at))?.[0].length ?? 0;
  const added = close === '}' ? ' }' : close;
  const changes = isOther
    ? [{ start: at, end: at + 1, text: close }]
    : [{ start: at - gap, end: at - gap, text: added }];
  return { says, changes: inLine ? changes : undefined, at: open.at, end: open.at + 1 };
}

function openQuote(finding: Finding): Said | undefined {
  const { code, source } = finding;
  if (code !== 1002 && code !== 1160) return undefined;
  const { quote } = readBrackets(source);
  if (!quote) return undefined;
  const { at, sign } = quote;
  const end = source.indexOf('\n', at);
  const line = source.slice(at, end < 0 ? undefined : end);
  const [, inside, other, rest] = /^.(.*)(['"`])([\s);\],]*)$/.exec(line) ?? [];
  if (other !== undefined && other !== sign)
    return {
      says: `The text that begins with ${sign} here ends with ${other}. Both quotes are to be the same.`,
      changes: [{ start: at, end: at + line.length, text: `${sign}${inside}${sign}${rest}` }],
      at,
      end: at + 1,
    };
  const [behind] = /[\s);\],]*$/.exec(line) ?? [''];
  return {
    says: `The quote ${sign} that is opened here is not closed: another ${sign} is missing behind the text.`,
    changes:
      sign === '`'
        ? undefined
        : [
            {
              start: at + line.length - behind.length,
              end: at + line.length - behind.length,
              text: sign,
            },
          ],
    at,
    end: at + 1,
  };
}

function tooManyClosed(finding: Finding): Said | undefined {
  const { source, text, at, code } = finding;
  if (code !== 1005 && code !== 1128) return undefined;
  if (text !== ')' && text !== ']' && text !== '}') return undefined;
  const { stray } = readBrackets(source);
  if (!stray.some((one) => one.at === at) || readBrackets(source, at).open.length > 0)
    return undefined;
  return {
    says: `This ${text} closes nothing: there is one more of them than brackets that open. Take it away.`,
    changes: [{ start: at, end: at + 1, text: '' }],
  };
}

/** What the compiler says of a name that stands for a function. */
const isFunctionType = (type: string) => /^(?:function\s|[\p{L}_$][\p{L}\p{N}_$]*\()/u.test(type);

/** A function's name with its argument behind it, but no brackets. */
function withoutBrackets(finding: Finding): Said | undefined {
  const { before, after, at, text, known } = finding;
  const isFirst = finding.code === 1434 && /^\s*$/.test(before);
  if (isFirst) return calledByBlank(finding);
  const isTold = expects(finding, ',') || expects(finding, ';') || finding.code === 1434;
  const [callee, name] = /((?:Math\.)?[\p{L}_$][\p{L}\p{N}_$]*)\s+$/u.exec(before) ?? [];
  const [argument] = /^-?[\p{L}\p{N}_$.]+(?:\([^()]*\))?/u.exec(after) ?? [];
  if (!isTold || !callee || argument === undefined || !/^[\p{L}\d_$.]/u.test(text))
    return undefined;
  const isFunction = /^Math\.[a-z]/.test(name) || isFunctionType(known.typeAt(at - callee.length));
  if (!isFunction) return undefined;
  return {
    says: `What a function is to work on stands in brackets: ${name}(${argument})`,
    changes: [
      { start: at - callee.length, end: at + argument.length, text: `${name}(${argument})` },
    ],
    at: at - callee.length,
    end: at - callee.length + name.length,
  };
}

/** `f 3;` at the beginning of a line. */
function calledByBlank({ text, at, end, source, known }: Finding): Said | undefined {
  const [whole, argument] = /^[ \t]+(-?[\p{L}\p{N}_$.'"]+)/u.exec(source.slice(end)) ?? [];
  if (!whole || !isFunctionType(known.typeAt(at))) return undefined;
  return {
    says: `What a function is to work on stands in brackets: ${text}(${argument})`,
    changes: [{ start: at, end: end + whole.length, text: `${text}(${argument})` }],
  };
}

function missingPoint(finding: Finding): Said | undefined {
  const { before, text, at } = finding;
  const [blank, owner] = /\b(Math|given|console)(\s+)$/.exec(before)?.slice(0, 2) ?? [];
  if (!expects(finding, ',') && finding.code !== 1434) return undefined;
  if (!owner || !/^[\p{L}]/u.test(text)) return undefined;
  const gap = blank.length - owner.length;
  return {
    says: `A point belongs between ${owner} and ${text}.`,
    changes: [{ start: at - gap, end: at, text: '.' }],
  };
}

function nameWithGap(finding: Finding): Said | undefined {
  const { before, after, at } = finding;
  const [, head, first] =
    /^(\s*(?:const|let|var)\s+)([\p{L}_$][\p{L}\p{N}_$]*)\s*$/u.exec(before) ?? [];
  const [whole, rest] =
    /^(?:-\s*)?([\p{L}\p{N}_$]+(?:[-\s]+[\p{L}\p{N}_$]+)*)\s*(?==)/u.exec(after) ?? [];
  if (!expects(finding, ',') || !head || !whole) return undefined;
  const name =
    first +
    rest
      .split(/[-\s]+/)
      .map((word) => word[0].toUpperCase() + word.slice(1))
      .join('');
  const start = finding.lineAt + head.length;
  return {
    says: `A name is one word, without blanks or - in it: ${name}`,
    changes: [{ start, end: at + whole.length, text: `${name} ` }],
  };
}

function missingSign(finding: Finding): Said | undefined {
  const { before, text, at } = finding;
  const [, left] = /([\p{L}\p{N}_$)\]]+)\s+$/u.exec(before) ?? [];
  if (!expects(finding, ',') || left === undefined || !/^[\p{L}\d_$(.]/u.test(text))
    return undefined;
  if (/^(?:const|let|var|function|return|if|for|while|else|import)$/.test(text))
    return {
      says: `A new statement begins with ${text}: put it on a line of its own, or ; before it.`,
      changes: [{ start: at - (/\s+$/.exec(before)?.[0].length ?? 0), end: at, text: '; ' }],
    };
  if (!/^\s*(?:(?:const|let|var)\s+[^=]*=|return\b)/.test(before)) return undefined;
  if (text in units || text === 'm')
    return {
      says: `Values carry no unit here: ${left.endsWith(')') ? 'what is computed' : left} is a plain number, lengths are in metres and angles in radians.${text in units ? ` Divided by ${units[text]}(1) it is the number of ${text}.` : ''}`,
      changes: [{ start: at - (/\s+$/.exec(before)?.[0].length ?? 0), end: finding.end, text: '' }],
    };
  return {
    says: `Something is missing between ${left} and ${text}: a sign such as * or +, or brackets. Times is always written.`,
  };
}

function nothingBehind(finding: Finding): Said | undefined {
  const { code, text, before, at } = finding;
  const [sign] = /(?:\*\*|&&|\|\||[=!]==?|[<>]=|[-+*/=<>,])\s*$/.exec(before) ?? [];
  if (code !== 1109 || !sign || !/^[;)\]}]?$/.test(text)) return undefined;
  const start = at - sign.length;
  const isValue = /^\s*(?:const|let|var)\s[^=]*=\s*$/.test(before);
  if (sign.trim() === '=' && !isValue) return undefined;
  return {
    says:
      sign.trim() === '='
        ? 'Nothing stands behind the =. Where no answer is known yet, write blank.'
        : `Something is missing behind ${sign.trim()}.`,
    changes: sign.trim() === '=' ? [{ start, end: at, text: '= blank' }] : undefined,
    at: start,
    end: start + sign.trimEnd().length,
  };
}

/** Something is missing, or there is too much of it. */
export const gapEntries: readonly Entry[] = [
  {
    name: 'semicolon within brackets',
    say({ source, at, text, code, after }) {
      const [whole, gap, brackets] = /^;(\s*)([)\]]+)\s*$/.exec(after) ?? [];
      const inside = innermost(source, at);
      if (code !== 1005 || text !== ';' || !whole || (inside !== '(' && inside !== '['))
        return undefined;
      return {
        says: 'The ; that ends the line stands inside of the brackets: it belongs behind them.',
        changes: [{ start: at, end: at + 1 + gap.length + brackets.length, text: `${brackets};` }],
      };
    },
  },
  {
    name: 'colon at the end',
    say(finding) {
      const isTold = expects(finding, ';') || expects(finding, ',');
      if (!isTold || !/^:\s*$/.test(finding.after) || finding.text !== ':') return undefined;
      return { says: 'A line ends with ; and not with :', changes: replaced(finding, ';') };
    },
  },
  { name: 'point between', say: missingPoint },
  { name: 'function without brackets', say: withoutBrackets },
  {
    name: 'keyword misspelt',
    say(finding) {
      const [, meant] = /Did you mean '([^']+)'\?/.exec(finding.message) ?? [];
      if (finding.code !== 1435 || !meant) return undefined;
      return {
        says: `“${finding.text}” is written ${meant}.`,
        changes: replaced(finding, meant),
      };
    },
  },
  { name: 'name of two words', say: nameWithGap },
  {
    name: 'minus before a power',
    say(finding) {
      const [, base] = /^-\s*([\p{L}\p{N}_$.]+)/u.exec(finding.after) ?? [];
      if (finding.code !== 17006 || !base) return undefined;
      const [whole] = /^-\s*[\p{L}\p{N}_$.]+\s*\*\*\s*[\p{L}\p{N}_$.]+/u.exec(finding.after) ?? [];
      return {
        says: `With a minus before a power it must be said what is meant: -(${base} ** 2), or (-${base}) ** 2.`,
        changes: whole
          ? [
              {
                start: finding.at,
                end: finding.at + whole.length,
                text: `-(${whole.slice(1).trim()})`,
              },
            ]
          : undefined,
      };
    },
  },
  {
    name: 'return outside of a function',
    say(finding) {
      if (finding.code !== 1108) return undefined;
      return {
        says: 'return belongs inside of a function. To see a value, let it stand alone in the last line of the cell.',
        changes: rewritten(finding, /^(\s*)return\s+/, '$1'),
      };
    },
  },
  {
    name: 'word of the language as a name',
    say(finding) {
      if (finding.code !== 1389) return undefined;
      return {
        says: `“${finding.text}” is a word of the language itself and cannot be a name. Choose another.`,
      };
    },
  },
  { name: 'open quote', say: openQuote },
  { name: 'too many closed', say: tooManyClosed },
  { name: 'open bracket', say: openBracket },
  { name: 'nothing behind a sign', say: nothingBehind },
  { name: 'sign missing', say: missingSign },
];

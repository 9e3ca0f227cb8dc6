import type { Change, Entry, Finding, Said } from './finding';

/** The compiler stumbles over a sign that no program has, here or right behind. */
const isInvalid = ({ code }: Finding) => code === 1127 || code === 1124;

/** The sign that it stumbles over. */
const signAt = ({ source, at }: Finding): string => source.slice(at, at + 1);

/** Change every sign of a kind on the line, outside of strings and comments only where the first one is. */
function changedSigns(
  { before, after, lineAt }: Finding,
  kind: RegExp,
  by: (sign: string) => string,
) {
  const line = before + after;
  const comment = line.indexOf('//');
  const changes: Change[] = [];
  for (const match of line.matchAll(kind)) {
    if (comment >= 0 && match.index > comment) continue;
    const start = lineAt + match.index;
    changes.push({ start, end: start + match[0].length, text: by(match[0]) });
  }
  return changes;
}

/** An entry for signs that each have one sign in their place. */
function signs(
  name: string,
  pairs: Readonly<Record<string, string>>,
  says: (sign: string, by: string) => string,
): Entry {
  const kind = new RegExp(`[${Object.keys(pairs).join('')}]`, 'gu');
  return {
    name,
    say(finding) {
      const sign = signAt(finding);
      if (!isInvalid(finding) || !(sign in pairs)) return undefined;
      return {
        says: says(sign, pairs[sign]),
        changes: changedSigns(finding, kind, (one) => pairs[one]),
      };
    },
  };
}

const superscripts = '⁰¹²³⁴⁵⁶⁷⁸⁹';
const subscripts = '₀₁₂₃₄₅₆₇₈₉';
const digitsOf = (text: string, digits: string) =>
  [...text].map((one) => (one === '⁻' ? '-' : String(digits.indexOf(one)))).join('');

function superscript(finding: Finding): Said | undefined {
  const { source, at, before } = finding;
  const [raised] = /^[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+/u.exec(source.slice(at)) ?? [];
  if (finding.code !== 1127 || !raised) return undefined;
  const power = digitsOf(raised, superscripts);
  const end = at + raised.length;
  // The square of a function's value stands behind its brackets.
  const [, called] = /\b((?:Math\.)?(?:a?(?:sin|cos|tan)|log|exp))$/.exec(before) ?? [];
  const [whole, inside] = /^\(([^()]*)\)/.exec(source.slice(end)) ?? [];
  if (called && whole) {
    const name = called.startsWith('Math.') ? called : `Math.${called}`;
    return {
      says: `A power is written with **, and that of a function's value behind its brackets: ${name}(${inside}) ** ${power}.`,
      changes: [
        {
          start: at - called.length,
          end: end + whole.length,
          text: `${name}(${inside}) ** ${power}`,
        },
      ],
    };
  }
  return {
    says: `A small raised number is not read. A power is written with **, as in x ** ${power}.`,
    changes: [{ start: at, end, text: ` ** ${power}` }],
  };
}

function subscript(finding: Finding): Said | undefined {
  const kind = new RegExp(`[${subscripts}]`, 'gu');
  if (finding.code !== 1127 || !subscripts.includes(signAt(finding))) return undefined;
  return {
    says: 'A small lowered number is not read in a name. Write it as a usual digit.',
    changes: changedSigns(finding, kind, (one) => digitsOf(one, subscripts)),
  };
}

function root(finding: Finding): Said | undefined {
  if (finding.code !== 1127 || signAt(finding) !== '√') return undefined;
  const [whole, , inside, bare] = /^√(\(([^()]*)\)|([\p{L}\p{N}_$.]+))/u.exec(finding.after) ?? [];
  return {
    says: '√ is not read. A square root is Math.sqrt(…).',
    changes: whole
      ? [
          {
            start: finding.at,
            end: finding.at + whole.length,
            text: `Math.sqrt(${inside ?? bare})`,
          },
        ]
      : undefined,
  };
}

function degreeSign(finding: Finding): Said | undefined {
  if (finding.code !== 1127 || signAt(finding) !== '°') return undefined;
  const { before, after, at } = finding;
  const [number] = /(?<![\p{L}\p{N}_$.])[\d.]+\s*$/u.exec(before) ?? [];
  if (number === undefined)
    return /[)\]\p{L}\p{N}_$]\s*$/u.test(before)
      ? {
          says: 'The sign ° is not read. An angle is in radians here; divided by degrees(1) it is the number of degrees.',
        }
      : undefined;
  const [minutes] = /^°\s*[\d.]+\s*[′'’]/.exec(after) ?? [];
  if (minutes !== undefined)
    return {
      says: "An angle in degrees and minutes is text, in quotes, and readAngle makes radians of it: readAngle('12°34′').",
    };
  const isInside = /\bdegrees\(\s*[\d.]+\s*$/.test(before);
  const start = at - number.length;
  return {
    says: isInside
      ? 'degrees(…) takes the number alone, without the sign °.'
      : 'The sign ° is not read. degrees(…) makes radians of a number of degrees, which is what Math.sin and all others take.',
    changes: [{ start, end: at + 1, text: isInside ? number.trim() : `degrees(${number.trim()})` }],
  };
}

const fractions: Readonly<Record<string, string>> = {
  '½': '1 / 2',
  '⅓': '1 / 3',
  '¼': '1 / 4',
  '¾': '3 / 4',
  '⅔': '2 / 3',
};

function fullWidth(finding: Finding): Said | undefined {
  const sign = signAt(finding);
  if (finding.code !== 1127 || !/[\uff01-\uff5e]/u.test(sign)) return undefined;
  const narrow = (one: string) => String.fromCharCode(one.charCodeAt(0) - 0xfee0);
  return {
    says: `“${sign}” is a wide sign of another keyboard. Programs read the narrow one only: ${narrow(sign)}`,
    changes: changedSigns(finding, /[\uff01-\uff5e]/gu, narrow),
  };
}

function plusMinus(finding: Finding): Said | undefined {
  if (finding.code !== 1127 || signAt(finding) !== '±') return undefined;
  const { before, after, at } = finding;
  const [value] = /[\d.]+(?:e-?\d+)?\s*$/.exec(before) ?? [];
  const [whole, u] = /^±\s*([\d.]+(?:e-?\d+)?)/.exec(after) ?? [];
  return {
    says: '± is not read. A value with its uncertainty is measured(value, uncertainty).',
    changes:
      value && whole
        ? [
            {
              start: at - value.length,
              end: at + whole.length,
              text: `measured(${value.trim()}, ${u})`,
            },
          ]
        : undefined,
  };
}

/** Signs that books and word processors have and programs do not. */
export const signEntries: readonly Entry[] = [
  signs(
    'times sign',
    { '×': '*', '·': '*', '⋅': '*', '∙': '*', '∗': '*' },
    (sign) => `“${sign}” is not read. Times is written *.`,
  ),
  signs(
    'division sign',
    { '÷': '/', '∕': '/' },
    (sign) => `“${sign}” is not read. Divided by is written /.`,
  ),
  signs(
    'minus sign',
    { '−': '-', '–': '-', '—': '-' },
    (sign) =>
      `“${sign}” looks like a minus, but is another, longer sign (copied, perhaps). Type - from the keyboard.`,
  ),
  signs(
    'curly quotes',
    { '“': "'", '”': "'", '„': "'", '‘': "'", '’': "'", '‚': "'", '«': "'", '»': "'" },
    () => 'Text stands between straight quotes, \' or ". Curly ones come from a word processor.',
  ),
  signs(
    'comparison sign',
    { '≤': '<=', '≥': '>=', '≠': '!==' },
    (sign, by) => `“${sign}” is not read. Write ${by}`,
  ),
  signs('infinity sign', { '∞': 'Infinity' }, () => 'The sign ∞ is not read. Write Infinity.'),
  signs(
    'fraction sign',
    fractions,
    (sign, by) => `“${sign}” is not read. Write ${by}, in brackets where it is a factor.`,
  ),
  { name: 'raised number', say: superscript },
  { name: 'lowered number', say: subscript },
  { name: 'root sign', say: root },
  { name: 'degree sign', say: degreeSign },
  { name: 'plus-minus sign', say: plusMinus },
  { name: 'wide sign', say: fullWidth },
  {
    name: '# comment',
    say(finding) {
      if (finding.code !== 1127 || signAt(finding) !== '#') return undefined;
      return {
        says: 'A comment begins with //, not with #.',
        changes: [{ start: finding.at, end: finding.at + 1, text: '//' }],
      };
    },
  },
  {
    name: '% comment',
    say(finding) {
      const { code, text, before, after, at } = finding;
      const isComment = /(?:^|;)\s*$/.test(before) && /^%+\s*\p{L}/u.test(after);
      if (code !== 1109 || text !== '%' || !isComment) return undefined;
      return {
        says: 'A comment begins with //, not with %.',
        changes: [{ start: at, end: at + 1, text: '//' }],
      };
    },
  },
  {
    name: 'backslash',
    say(finding) {
      if (finding.code !== 1127 || signAt(finding) !== '\\') return undefined;
      const [whole, name] = /^\\([a-zA-Z]+)/.exec(finding.after) ?? [];
      return {
        says: 'The formulas of the text are written in another language than code. In code a name has no \\ before it, and a fraction is written with /.',
        changes:
          whole && finding.after[whole.length] !== '{'
            ? [{ start: finding.at, end: finding.at + whole.length, text: name }]
            : undefined,
      };
    },
  },
];

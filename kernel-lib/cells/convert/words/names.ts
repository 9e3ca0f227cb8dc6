import { andImport, type Entry, type Finding, isUnknownName, replaced, type Said } from './finding';

/** Functions of Math that people call without it. */
const bare =
  /^(?:sin|cos|tan|asin|acos|atan|atan2|sinh|cosh|tanh|sqrt|cbrt|abs|exp|log10|log2|floor|ceil|hypot|sign|pow)$/;
const trigonometric = /^(?:sin|cos|tan)$/;
const inverse = /^(?:asin|acos|atan|atan2)$/;

/** The brackets behind a called name: the text in them, and where they end. Undefined where nothing is called. */
function callAfter({ source, end }: Finding): { inside: string; end: number } | undefined {
  if (source[end] !== '(') return undefined;
  let depth = 0;
  for (let at = end; at < source.length && source[at] !== '\n'; at += 1) {
    if (source[at] === '(') depth += 1;
    if (source[at] === ')') depth -= 1;
    if (depth === 0) return { inside: source.slice(end + 1, at), end: at + 1 };
  }
  return undefined;
}

const isCalled = ({ source, end }: Finding) => /^\s*\(/.test(source.slice(end));

function ofMath(name: string): string {
  if (trigonometric.test(name)) return `Math.${name}, and takes radians`;
  if (inverse.test(name)) return `Math.${name}, and gives radians`;
  return `Math.${name}`;
}

/** An unknown name and what it is called here. */
interface Other {
  readonly names: RegExp;
  readonly says: string | ((finding: Finding) => string);
  /** The new text of the name; or of the whole call, from what stands in its brackets. */
  readonly name?: string | ((text: string) => string);
  readonly call?: (inside: string, text: string) => string | undefined;
  /** Only where it is called, or only where it is not. */
  readonly called?: boolean;
}

function other(name: string, { names, says, name: by, call, called }: Other): Entry {
  return {
    name,
    say(finding) {
      if (!isUnknownName(finding) || !names.test(finding.text)) return undefined;
      if (called !== undefined && called !== isCalled(finding)) return undefined;
      // A property of that name is another's.
      if (/\.\s*$/.test(finding.before)) return undefined;
      const whole = callAfter(finding);
      const text = whole && call?.(whole.inside, finding.text);
      const changes =
        text !== undefined && whole
          ? [{ start: finding.at, end: whole.end, text }]
          : by === undefined
            ? undefined
            : replaced(finding, typeof by === 'function' ? by(finding.text) : by);
      return { says: typeof says === 'function' ? says(finding) : says, changes };
    },
  };
}

/** Parts of an argument list, at its outer commas. */
const parts = (inside: string): string[] =>
  /[([{]/.test(inside) ? [inside] : inside.split(',').map((one) => one.trim());

/** A printf's format and its like is not wanted. */
const shown = (inside: string) => {
  const [first, ...rest] = parts(inside);
  return `console.log(${/^['"].*%/.test(first) ? rest.join(', ') : inside})`;
};

const counted = (inside: string): string | undefined => {
  const [first, second, ...more] = parts(inside);
  if (more.length > 0 || !first) return undefined;
  return second === undefined
    ? `Array.from({ length: ${first} }, (_, i) => i)`
    : `Array.from({ length: ${second} - ${first} }, (_, i) => ${first} + i)`;
};

const spaced = (inside: string): string | undefined => {
  const [from, to, count] = parts(inside);
  if (!count) return undefined;
  const steps = /^\d+$/.test(count) ? String(Number(count) - 1) : `(${count} - 1)`;
  const reach = /^-?[\d.]+$/.test(from) && Number(from) === 0 ? to : `${from} + (${to} - ${from})`;
  return `Array.from({ length: ${count} }, (_, i) => ${reach} * i / ${steps})`;
};

/** Letters of the sheets' texts, and what they are among the givens. */
const letters: Readonly<Record<string, readonly string[]>> = {
  a: ['width'],
  d: ['spacing', 'label'],
  f: ['focalLength'],
  N: ['count'],
  n: ['lines'],
  m: ['order'],
  L: ['distance'],
  D: ['beamWidth'],
  b: ['sourceWidth'],
  λ: ['wavelength'],
  lambda: ['wavelength'],
  lam: ['wavelength'],
  wavelength: ['wavelength'],
  spacing: ['spacing'],
  width: ['width'],
  focalLength: ['focalLength'],
};

function letter(finding: Finding): Said | undefined {
  const { text, known, before } = finding;
  if (!isUnknownName(finding) || /\.\s*$/.test(before) || isCalled(finding)) return undefined;
  if (/^\s*=(?!=)/.test(finding.source.slice(finding.end))) return undefined;
  const isLetter = /^(?:\p{L}|lambda|theta|alpha|beta|phi|lam)$/u.test(text);
  const givens = known.givens();
  const given = [...(letters[text] ?? []), text].find((name) => givens.includes(name));
  if (given !== undefined)
    return {
      says: `The code knows no “${text}”. ${given === text ? 'It is among the givens, as' : 'What the text calls so is'} given.${given} here; the table at the top of the sheet lists them all.`,
      changes: replaced(finding, `given.${given}`),
    };
  if (!isLetter) return undefined;
  return {
    says: `“${text}” has no value yet. Give it one in a line above, such as const ${text} = …; what the sheet gives stands in the table at its top and begins with given.`,
  };
}

function ofLibrary(finding: Finding): Said | undefined {
  const { text, known } = finding;
  // A letter in the text of a sheet is not the unit of that name.
  if (!isUnknownName(finding) || text.length < 2 || !known.library().includes(text))
    return undefined;
  return {
    says: `${text} has no value yet. If a cell above makes it, run that one first. The library has one of that name as well: to use it, put this line at the top of the cell: import { ${text} } from 'multislit';`,
  };
}

function otherCase(finding: Finding): Said | undefined {
  const { text, known, source } = finding;
  if (!isUnknownName(finding)) return undefined;
  const words = new Set([...known.declared, ...declaredIn(source)]);
  const same = [...words].find(
    (name) => name !== text && name.toLowerCase() === text.toLowerCase(),
  );
  if (same === undefined) return undefined;
  // The line that hands an answer in cannot be changed: the name in the working has to be.
  if (/^\s*check\s*\(\s*(['"])[^'"]*\1\s*,\s*$/.test(finding.before))
    return {
      says: `The answer is handed in as ${text}, and the working calls it ${same}: capital and small letters count. Call it ${text} there.`,
    };
  return {
    says: `Capital and small letters count: it is called ${same}, not ${text}.`,
    changes: replaced(finding, same),
  };
}

/** Names that the lines of a cell declare at their beginning. */
const declaredIn = (source: string): string[] =>
  [...source.matchAll(/^\s*(?:const|let|var|function)\s+([\p{L}\p{N}_$]+)/gmu)].map(
    ([, name]) => name,
  );

function misspelt(finding: Finding): Said | undefined {
  const { code, message, text, known, source } = finding;
  const [, meant] = /Did you mean '([^']+)'\?/.exec(message) ?? [];
  if (code !== 2552 || !meant) return undefined;
  if (!known.declared.has(meant) && !declaredIn(source).includes(meant)) return undefined;
  return {
    says: `Nothing is called ${text}. Is ${meant} meant?`,
    changes: replaced(finding, meant),
  };
}

function notDeclared(finding: Finding): Said | undefined {
  const { text, source, end, before } = finding;
  if (!isUnknownName(finding)) return undefined;
  if (!/^\s*=(?![=>])/.test(source.slice(end)) || !/^\s*$/.test(before)) return undefined;
  return {
    says: `A new name is announced by const, or by let where its value is to change later: const ${text} = …`,
    changes: replaced(finding, `const ${text}`),
  };
}

/** A word that stands alone behind the = was perhaps an answer. */
function asWord({ before, after, text }: Finding): string {
  const isAlone =
    /=\s*$/.test(before) && /^\s*(?:;\s*)?(?:\/\/.*)?$/.test(after.slice(text.length));
  return isAlone ? ` An answer that is a word stands in quotes: '${text}'.` : '';
}

function unknown(finding: Finding): Said | undefined {
  const { text } = finding;
  const isWord = finding.code === 2304 || finding.code === 2552;
  if (!isWord || !isUnknownName(finding)) return undefined;
  return {
    says: `Nothing is called “${text}” so far. If a cell above makes it, run that one first (Run from the top runs all); otherwise look at the spelling: capital and small letters count.${asWord(finding)}`,
  };
}

/** Names that stand for something else here. Those further down speak only where those above do not. */
export const nameEntries: readonly Entry[] = [
  { name: 'announce a name', say: notDeclared },
  { name: 'capital and small letters', say: otherCase },
  {
    name: 'Math before its functions',
    say(finding) {
      const { text } = finding;
      if (!isUnknownName(finding) || !bare.test(text) || !isCalled(finding)) return undefined;
      return {
        says: `Functions of mathematics belong to Math: ${text} is ${ofMath(text)}.`,
        changes: replaced(finding, `Math.${text}`),
      };
    },
  },
  other('arcsin', {
    names: /^arc(?:sin|cos|tan)2?$/,
    says: ({ text }) => `${text} is called Math.a${text.slice(3)} here, and gives radians.`,
    name: (text) => `Math.a${text.slice(3)}`,
  }),
  other('natural logarithm', {
    names: /^ln$/,
    called: true,
    says: 'The natural logarithm is Math.log here.',
    name: 'Math.log',
  }),
  other('log', {
    names: /^log$/,
    called: true,
    says: 'Math.log is the natural logarithm, Math.log10 that to base 10. To show a value: console.log.',
  }),
  other('pi', {
    names: /^(?:pi|Pi|PI|π)$/,
    called: false,
    says: 'π is called Math.PI.',
    name: 'Math.PI',
  }),
  other('sine of degrees', {
    names: /^(?:sin|cos|tan)d$/,
    called: true,
    says: ({ text }) => `Math.${text.slice(0, 3)} takes radians; degrees(…) makes them of degrees.`,
    call: (inside, text) => `Math.${text.slice(0, 3)}(degrees(${inside}))`,
  }),
  other('degrees to radians', {
    names: /^(?:deg2rad|radians|toRadians|rad)$/,
    called: true,
    says: (finding) => `degrees(…) makes radians of degrees.${andImport(finding, 'degrees')}`,
    name: 'degrees',
  }),
  other('radians to degrees', {
    names: /^(?:rad2deg|toDegrees)$/,
    called: true,
    says: 'Degrees are radians divided by one degree: x / degrees(1), or x * 180 / Math.PI.',
    call: (inside) =>
      /^[\p{L}\p{N}_$.]+$/u.test(inside) ? `${inside} * 180 / Math.PI` : undefined,
  }),
  {
    name: 'e to a power',
    say(finding) {
      const { text, source, end } = finding;
      const [power, exponent] =
        /^\s*(?:\^|\*\*)\s*(\([^()]*\)|-?[\p{L}\p{N}_$.]+)/u.exec(source.slice(end)) ?? [];
      if (!isUnknownName(finding) || text !== 'e' || !power) return undefined;
      const inside = exponent.replace(/^\((.*)\)$/, '$1');
      return {
        says: 'e to a power is Math.exp(…); the number e itself is Math.E.',
        changes: [{ start: finding.at, end: end + power.length, text: `Math.exp(${inside})` }],
      };
    },
  },
  other('math module', {
    names: /^(?:math|MATH|Maths|maths|cmath)$/,
    called: false,
    says: 'Math has a capital M here.',
    name: 'Math',
  }),
  other('numpy', {
    names: /^(?:np|numpy|scipy)$/,
    called: false,
    says: ({ source, end }) =>
      /^\.(?:array|linspace|arange|zeros|ones)\b/.test(source.slice(end))
        ? 'np is of another language. A list is written in square brackets, and made by a rule with Array.from({ length: 5 }, (_, i) => …).'
        : 'np is of another language. Functions of mathematics belong to Math: Math.sin, Math.PI.',
  }),
  other('printing', {
    names: /^(?:print|println|printf|disp|display|echo|puts|cout|fprintf|fmt|writeln|Print)$/,
    says: 'A value is shown by console.log(…), or by standing alone in the last line of the cell.',
    call: shown,
  }),
  other('length of a list', {
    names: /^(?:len|length|numel|size)$/,
    called: true,
    says: 'The length of a list stands behind it: list.length',
    call: (inside) => (/^[\p{L}\p{N}_$.]+$/u.test(inside) ? `${inside}.length` : undefined),
  }),
  other('range', {
    names: /^(?:range|arange)$/,
    called: true,
    says: 'A list of counted numbers is made by Array.from({ length: 10 }, (_, i) => i), which counts from 0.',
    call: counted,
  }),
  other('linspace', {
    names: /^linspace$/,
    called: true,
    says: 'A list of evenly spaced numbers is made by Array.from({ length: n }, (_, i) => …), where i counts from 0.',
    call: spaced,
  }),
  other('sum of a list', {
    names: /^sum$/,
    called: true,
    says: 'A list is summed by list.reduce((sum, x) => sum + x, 0).',
    call: (inside) =>
      /^[\p{L}\p{N}_$.]+$/u.test(inside) ? `${inside}.reduce((sum, x) => sum + x, 0)` : undefined,
  }),
  other('largest of a list', {
    names: /^(?:max|min)$/,
    called: true,
    says: ({ text }) =>
      `It is called Math.${text}(a, b, …), and of a list Math.${text}(...list), with three points.`,
    call: (inside, text) =>
      `Math.${text}(${/^[\p{L}\p{N}_$.]+$/u.test(inside) ? '...' : ''}${inside})`,
  }),
  other('rounding', {
    names: /^round$/,
    called: true,
    says: 'Math.round(x) gives a whole number; x.toFixed(3) is the text with three decimals.',
    call: (inside) => {
      const [value, digits] = parts(inside);
      if (digits === undefined) return `Math.round(${inside})`;
      return /^[\p{L}\p{N}_$.]+$/u.test(value) ? `Number(${value}.toFixed(${digits}))` : undefined;
    },
  }),
  other('appending', {
    names: /^append$/,
    called: true,
    says: 'A value is put at the end of a list by list.push(value).',
    call: (inside) => {
      const [list, value, ...more] = parts(inside);
      return value !== undefined && more.length === 0 ? `${list}.push(${value})` : undefined;
    },
  }),
  other('true and false', {
    names: /^(?:True|TRUE|False|FALSE)$/,
    says: ({ text }) => `${text.toLowerCase()} is written with a small letter.`,
    name: (text) => text.toLowerCase(),
  }),
  other('nothing', {
    names: /^(?:None|nil|NULL|Nothing|nullptr)$/,
    called: false,
    says: 'Nothing is called undefined here; an answer not yet given is blank.',
    name: 'undefined',
  }),
  {
    name: 'type of a number',
    say(finding) {
      const { text, code, before } = finding;
      const isType = /^(?:float|double|int|integer|real|num|Float|Int|f64)$/.test(text);
      if (!isType || ![2304, 2552].includes(code) || !/:\s*$/.test(before)) return undefined;
      return {
        says: 'Every number is of the type number, with decimals or without. The type may be left out, too.',
        changes: replaced(finding, 'number'),
      };
    },
  },
  {
    name: 'type before a name',
    say(finding) {
      const { text, code, source, end, before } = finding;
      const isType =
        /^(?:float|double|int|integer|real|string|String|bool|boolean|char|auto|val|mut|dim|my|local|number)$/i;
      if (!isType.test(text) || !/^\s*$/.test(before)) return undefined;
      if (
        ![1434, 1435, 2304, 2552, 2693].includes(code) ||
        !/^\s+[\p{L}_$][\p{L}\p{N}_$]*\s*=(?!=)/u.test(source.slice(end))
      )
        return undefined;
      return {
        says: 'A new name is announced by const (or by let, where its value is to change later), without a type before it.',
        changes: replaced(finding, 'const'),
      };
    },
  },
  {
    name: 'loop counter',
    say(finding) {
      const { text, before } = finding;
      if (!isUnknownName(finding) || !/\bfor\s*\($/.test(before)) return undefined;
      return {
        says: `The counter of a loop is announced by let: for (let ${text} = 0; …`,
        changes: replaced(finding, `let ${text}`),
      };
    },
  },
  { name: 'not fetched from the library', say: ofLibrary },
  { name: 'letter of the text', say: letter },
  { name: 'misspelt name', say: misspelt },
  { name: 'unknown name', say: unknown },
];

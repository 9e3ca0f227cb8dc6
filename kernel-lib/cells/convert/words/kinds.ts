import { type Entry, type Finding, isUnknownName, replaced, type Said } from './finding';

/** Arithmetic with something that is no number. */
const isArithmetic = ({ code }: Finding) => code === 2362 || code === 2363 || code === 2365;

const isName = (text: string) => /^[\p{L}_$][\p{L}\p{N}_$.]*$/u.test(text);

/** The type that the compiler tells of the last name in a text that ends at `end`. */
const typeBefore = ({ known }: Finding, end: number) => known.typeAt(end - 1);

const isMeasured = (type: string) => /:\s*Measured\b(?!\[)/.test(type);

const isList = (type: string) => /:\s*(?:readonly )?\w+\[\]/.test(type);

const isFunction = (type: string) =>
  /^(?:(?:function|\(method\))\s|[\p{L}_$][\p{L}\p{N}_$]*\()|^(?:const|let|var)\s[^:]+:\s*\([^()]*\)\s*=>/u.test(
    type,
  );

/** Both sides of a sign: the operands that the finding is about. */
interface Operation {
  readonly left: string;
  readonly sign: string;
  readonly right: string;
  readonly start: number;
  readonly end: number;
}

const operand = String.raw`[\p{L}\p{N}_$.]+(?:\([^()]*\)|\[[^[\]]*\])?`;

function operation({ source, at, lineAt, code }: Finding): Operation | undefined {
  const rest = source.slice(lineAt).split('\n', 1)[0];
  const all = new RegExp(`(${operand})\\s*(\\*\\*|[-+*/%^])\\s*(?=(${operand}))`, 'gu');
  for (const match of rest.matchAll(all)) {
    const [whole, left, sign, right] = match;
    const start = lineAt + match.index;
    const from = start + whole.length;
    const isMeant = code === 2363 ? from === at : start === at;
    if (isMeant) return { left, sign, right, start, end: from + right.length };
  }
  return undefined;
}

export const methods: Readonly<Record<string, string>> = {
  '+': 'plus',
  '-': 'minus',
  '*': 'times',
  '/': 'over',
  '**': 'power',
  '^': 'power',
};

function measuredArithmetic(finding: Finding): Said | undefined {
  if (!isArithmetic(finding)) return undefined;
  const told = operation(finding);
  if (!told) return undefined;
  const { left, sign, right, start, end } = told;
  const measuredAt = (name: string, upTo: number) =>
    isName(name) && isMeasured(typeBefore(finding, upTo));
  const isLeft = measuredAt(left, start + left.length);
  const isRight = measuredAt(right, end);
  const method = methods[sign];
  if ((!isLeft && !isRight) || method === undefined) return undefined;
  // A number has no such methods: what is measured comes first, where the order does not matter.
  const swapped = !isLeft && (sign === '*' || sign === '+');
  const text = isLeft
    ? `${left}.${method}(${right})`
    : swapped
      ? `${right}.${method}(${left})`
      : undefined;
  return {
    says: `${isLeft ? left : right} is a value with an uncertainty, which + - * / would lose. It is computed with by .plus, .minus, .times, .over and .power; .value is the bare number.`,
    changes: text === undefined ? undefined : [{ start, end, text }],
  };
}

/** `400 < x < 700`, as on paper. */
function twoComparisons(finding: Finding): Said | undefined {
  const { code, text, message } = finding;
  if (code !== 2365 || !message.includes("'boolean'")) return undefined;
  const [, low, first, middle, second, high] =
    /^([^<>=&|]+?)\s*([<>]=?)\s*([^<>=&|]+?)\s*([<>]=?)\s*([^<>=&|]+)$/.exec(text) ?? [];
  if (middle === undefined) return undefined;
  return {
    says: `Only two things are compared at a time, and && joins both comparisons: ${middle} is written twice.`,
    changes: replaced(finding, `${low} ${first} ${middle} && ${middle} ${second} ${high}`),
  };
}

/** A parameter of a fit in a computation: a value with its uncertainty, where the value alone was meant. */
function fittedArithmetic(finding: Finding): Said | undefined {
  if (!isArithmetic(finding)) return undefined;
  const told = operation(finding);
  if (!told) return undefined;
  const isFitted = (name: string, upTo: number) =>
    isName(name) && /:\s*Fitted\b(?!\[)/.test(typeBefore(finding, upTo));
  const { left, right, start, end } = told;
  const name = isFitted(left, start + left.length) ? left : right;
  const stop = name === left ? start + left.length : end;
  if (!isFitted(name, stop)) return undefined;
  return {
    says: `${name} is a value with its standard uncertainty: ${name}.value is the number to compute with, ${name}.u the uncertainty.`,
    changes: [{ start: stop, end: stop, text: '.value' }],
    at: stop - name.length,
    end: stop,
  };
}

function measuredInMath(finding: Finding): Said | undefined {
  const { code, message, before, text, at, end, source } = finding;
  if (code !== 2345 || !/Argument of type 'Measured' is not assignable/.test(message))
    return undefined;
  const [callee, name] = /Math\.(\w+)\(\s*$/.exec(before) ?? [];
  const own = /^(?:sin|cos|tan|asin|acos|atan|sqrt|abs|exp|log)$/;
  if (!callee || !own.test(name)) return undefined;
  const isWhole = /^\s*\)/.exec(source.slice(end));
  return {
    says: `${text} is a value with an uncertainty, which Math.${name} would lose: ${text}.${name}() keeps it; ${text}.value is the bare number.`,
    changes:
      isWhole && isName(text)
        ? [{ start: at - callee.length, end: end + isWhole[0].length, text: `${text}.${name}()` }]
        : undefined,
  };
}

const unitFunctions = /^(?:um|nm|mm|cm|m|mrad|degrees|arcminutes|arcseconds|perMillimetre)$/;

function unitAsFactor(finding: Finding): Said | undefined {
  if (!isArithmetic(finding)) return undefined;
  const told = operation(finding);
  if (!told) return undefined;
  const { left, sign, right, start, end } = told;
  const unit = unitFunctions.test(right) ? right : unitFunctions.test(left) ? left : undefined;
  if (unit === undefined || !isFunction(finding.known.typeAt(unit === left ? start : end - 1)))
    return undefined;
  const value = unit === right ? left : right;
  const text =
    sign === '*' && !unitFunctions.test(value)
      ? `${unit}(${value})`
      : sign === '/' && unit === right
        ? `${left} / ${unit}(1)`
        : undefined;
  return {
    says: `${unit} is a function: ${unit}(94) is 94 ${unit}. To have a length as a number of ${unit}, divide by ${unit}(1).`,
    changes: text === undefined ? undefined : [{ start, end, text }],
  };
}

function functionAsNumber(finding: Finding): Said | undefined {
  if (!isArithmetic(finding)) return undefined;
  const told = operation(finding);
  if (!told) return undefined;
  const { left, right, start, end } = told;
  const name = [
    { text: left, at: start + left.length - 1 },
    { text: right, at: end - 1 },
  ].find(({ text, at }) => isName(text) && isFunction(finding.known.typeAt(at)));
  if (!name) return undefined;
  const says = `${name.text} is a function. What it is to work on stands in brackets behind it: ${name.text}(…)`;
  // findRoot(f - 0.5, …): a function of its own is asked for there.
  const isFirst = /\bfindRoot\(\s*$/.test(finding.source.slice(finding.lineAt, start));
  if (!isFirst || name.text !== left) return { says };
  return {
    says: `${left} is a function, and so is what findRoot asks for: (x) => ${left}(x) ${told.sign} ${right}`,
    changes: [
      { start, end: start, text: '(x) => ' },
      { start: start + left.length, end: start + left.length, text: '(x)' },
    ],
  };
}

function listAsNumber(finding: Finding): Said | undefined {
  if (!isArithmetic(finding)) return undefined;
  const typed = new RegExp(`^(\\[[^[\\]]*\\])\\s*(\\*\\*|[-+*/%])\\s*(${operand})`, 'u');
  const [all, values, by, number] = typed.exec(finding.after) ?? [];
  if (all)
    return {
      says: `A list is changed value by value: ${values}.map((x) => …) makes a list of all of them, each changed.`,
      changes: [
        {
          start: finding.at,
          end: finding.at + all.length,
          text: `${values}.map((x) => x ${by} ${number})`,
        },
      ],
    };
  const told = operation(finding);
  if (!told) return undefined;
  const { left, sign, right, start, end } = told;
  const isLeft = isName(left) && isList(typeBefore(finding, start + left.length));
  const isRight = isName(right) && isList(typeBefore(finding, end));
  if (!isLeft && !isRight) return undefined;
  if (isLeft && isRight)
    return {
      says: 'Two lists are computed with value by value, each with the one at the same place i in the other.',
      changes: [{ start, end, text: `${left}.map((x, i) => x ${sign} ${right}[i])` }],
    };
  const list = isLeft ? left : right;
  const text = isLeft
    ? `${list}.map((x) => x ${sign} ${right})`
    : `${list}.map((x) => ${left} ${sign} x)`;
  return {
    says: `${list} is a list. A list of all its values, each changed, is made by ${list}.map((x) => …); one of them is ${list}[0].`,
    changes: [{ start, end, text }],
  };
}

function listInMath(finding: Finding): Said | undefined {
  const { code, message, before, text, at, end, source } = finding;
  if (
    code !== 2345 ||
    !/Argument of type '(?:readonly )?number\[\]' is not assignable to parameter of type 'number'/.test(
      message,
    )
  )
    return undefined;
  const [callee, name] = /((?:Math\.)?[\p{L}_$][\p{L}\p{N}_$]*)\(\s*$/u.exec(before) ?? [];
  if (!callee || !isName(text)) return undefined;
  if (/^Math\.(?:max|min|hypot)$/.test(name))
    return {
      says: `${name} takes numbers. Of a list they are taken by three points before it.`,
      changes: replaced(finding, `...${text}`),
    };
  const isWhole = /^\s*\)/.exec(source.slice(end));
  return {
    says: `${text} is a list, and ${name} takes one number. A list of all values is made by ${text}.map((x) => ${name}(x)).`,
    changes: isWhole
      ? [
          {
            start: at - callee.length,
            end: end + isWhole[0].length,
            text: `${text}.map((x) => ${name}(x))`,
          },
        ]
      : undefined,
  };
}

function textAsNumber(finding: Finding): Said | undefined {
  const { code, message, text, before } = finding;
  const [, quoted] = /^(['"`])\s*-?[\d.,]+(?:e-?\d+)?\s*\1$/i.exec(text) ?? [];
  const isArgument =
    code === 2345 && /'string' is not assignable to parameter of type 'number'/.test(message);
  if (!quoted || (!isArgument && code !== 2362 && code !== 2363)) return undefined;
  if (/\bunit\(\s*$/.test(before)) return undefined;
  const number = text.slice(1, -1).trim().replace(',', '.');
  return {
    says: 'In quotes it is text, and no number. Numbers stand without them.',
    changes: replaced(finding, number),
  };
}

function quantity(finding: Finding): Said | undefined {
  if (!isArithmetic(finding)) return undefined;
  const told = operation(finding);
  const of = told && [told.left, told.right].find((text) => text.startsWith('unit('));
  if (!told || of === undefined) return undefined;
  const [, amount, name] =
    /^unit\(\s*['"]\s*([\d.]+)\s*(um|µm|nm|mm|cm|mrad)\s*['"]\s*\)$/.exec(of) ?? [];
  const at = finding.source.indexOf(of, told.start);
  return {
    says: 'unit(…) makes a value with its unit, for answers. To compute with, there are um(…), nm(…), mm(…), which make plain numbers in metres.',
    changes: amount
      ? [{ start: at, end: at + of.length, text: `${name === 'µm' ? 'um' : name}(${amount})` }]
      : undefined,
  };
}

/** `Math.sin**2(x)` and its like. */
function powerOfFunction(finding: Finding): Said | undefined {
  const { code, text, after, at } = finding;
  const [whole, power, argument] =
    /^(?:Math\.)?\w+\s*(?:\*\*|\^)\s*(\d+)\s*\(([^()]*)\)/.exec(after) ?? [];
  const isBare = isUnknownName(finding) && /^(?:a?(?:sin|cos|tan)|log|exp|sqrt)$/.test(text);
  if (!whole || (!isBare && (code !== 2362 || !/^Math\.\w+$/.test(text)))) return undefined;
  const name = isBare ? `Math.${text}` : text;
  return {
    says: `The power of a function's value stands behind its brackets: ${name}(${argument}) ** ${power}.`,
    changes: [{ start: at, end: at + whole.length, text: `${name}(${argument}) ** ${power}` }],
  };
}

/** A number, or something in brackets, is called like a function: a product without its sign. */
function numberCalled(finding: Finding): Said | undefined {
  const { code, text, end, source, before, known, at } = finding;
  if (code !== 2349 || source[end] !== '(') return undefined;
  const open = source.slice(end);
  if (open.startsWith('()') && before.endsWith('.'))
    return {
      says: `${text} is a value and no function: it stands without brackets behind it.`,
      changes: [{ start: end, end: end + 2, text: '' }],
    };
  const type = known.typeAt(end - 1);
  const [, property] = /^\(([\p{L}_$]+)\)/u.exec(open) ?? [];
  if (text === 'given' && property)
    return {
      says: `What the sheet gives stands behind a point: given.${property}`,
      changes: [{ start: end, end: end + property.length + 2, text: `.${property}` }],
    };
  const whole = (/[\p{L}_$][\p{L}\p{N}_$.]*\.$/u.exec(before)?.[0] ?? '') + text;
  const isNumber =
    /^[\d.e-]+$/i.test(text) ||
    /^\(.*\)$/.test(text) ||
    /:\s*-?(?:number\b(?!\[)|[\d.e-]+$)/m.test(type) ||
    /^const .* = -?[\d.]/.test(type);
  if (/^[\p{L}_$]/u.test(text) && isList(type)) {
    const [place, inside] = /^\(([^()]*)\)/.exec(open) ?? [];
    return {
      says: `${whole} is a list. One of its values is had by square brackets; the first is ${whole}[0].`,
      changes: place ? [{ start: end, end: end + place.length, text: `[${inside}]` }] : undefined,
    };
  }
  if (!isNumber) return undefined;
  // In sin**2(x) the 2 is not a factor.
  if (/Math\.\w+\s*(?:\*\*|\^)\s*$/.test(before)) return undefined;
  return {
    says: `A sign is missing behind ${whole}: times is always written, ${whole} * (…). Without it this would be a function.`,
    changes: [{ start: end, end, text: ' * ' }],
    at,
    end,
  };
}

/** A function that gives nothing back is computed with. */
function withoutReturn(finding: Finding): Said | undefined {
  const { code, text, message, known, at } = finding;
  if (code === 2355)
    return {
      says: 'This function gives nothing back. Its value stands behind the word return, in its last line.',
    };
  if (!isArithmetic(finding) && code !== 2345 && code !== 2322) return undefined;
  const [callee] = /^[\p{L}_$][\p{L}\p{N}_$]*(?=\()/u.exec(text) ?? [];
  const isVoid = (type: string) => /(?:\)|=>)\s*:?\s*void\b/.test(type);
  if (
    !callee ||
    !(isVoid(known.typeAt(at)) || /types 'void' and|Type 'void'|type 'void'/.test(message))
  )
    return undefined;
  return {
    says: `${callee}(…) gives nothing back, so there is nothing to compute with. In the function ${callee} the word return is missing before its value.`,
  };
}

function functionWanted(finding: Finding): Said | undefined {
  const { code, message, text, before } = finding;
  if (code !== 2345 || !/is not assignable to parameter of type '\(value: /.test(message))
    return undefined;
  const isMethod = /\.(?:map|filter|forEach|reduce|some|every|find)\(\s*$/.test(before);
  if (!isMethod || !/[\p{L}]/u.test(text)) return undefined;
  return {
    says: 'Here a function is expected that says what becomes of one value x of the list.',
    changes: replaced(finding, `(x) => ${text}`),
  };
}

function figureWanted(finding: Finding): Said | undefined {
  const { code, message, text, before, at, end, source } = finding;
  if (code !== 2345 || !/parameter of type 'Show/.test(message) || !/\bshow\(\s*$/.test(before))
    return undefined;
  const isWhole = source[end] === ')';
  return {
    says: 'show(…) shows figures. A value is shown by console.log(…), or by standing alone in the last line.',
    changes: isWhole ? [{ start: at - 5, end: end + 1, text: `console.log(${text})` }] : undefined,
  };
}

function questionNumber(finding: Finding): Said | undefined {
  const { code, before, text } = finding;
  if (code !== 2345 || !/\bcheck\(\s*$/.test(before) || !/^\d+\.\d+$/.test(text)) return undefined;
  return {
    says: "The question's number stands in quotes.",
    changes: replaced(finding, `'${text}'`),
  };
}

/** One kind of thing in the place of another. */
export const kindEntries: readonly Entry[] = [
  { name: 'forgotten return', say: withoutReturn },
  { name: 'power of a function', say: powerOfFunction },
  { name: 'measured value with + - * /', say: measuredArithmetic },
  { name: 'fitted value with + - * /', say: fittedArithmetic },
  { name: 'two comparisons in one', say: twoComparisons },
  { name: 'measured value in Math', say: measuredInMath },
  { name: 'unit as a factor', say: unitAsFactor },
  { name: 'list as a number', say: listAsNumber },
  { name: 'function as a number', say: functionAsNumber },
  { name: 'list where a number goes', say: listInMath },
  { name: 'text where a number goes', say: textAsNumber },
  { name: 'number of the question', say: questionNumber },
  { name: 'product without its sign', say: numberCalled },
  { name: 'function wanted', say: functionWanted },
  { name: 'value with a unit computed with', say: quantity },
  { name: 'show for a value', say: figureWanted },
];

import { innermost, readBrackets } from './brackets';
import {
  andImport,
  asksForList,
  type Entry,
  expects,
  type Finding,
  replaced,
  type Said,
} from './finding';

/** A number as it ends a text. */
const numberAtEnd = /(?:^|[^\p{L}\p{N}_$.])((?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)(\s*)$/iu;

/** Units that the library has a function for, by the ways in which they are typed. */
export const units: Readonly<Record<string, string>> = {
  um: 'um',
  µm: 'um',
  μm: 'um',
  nm: 'nm',
  mm: 'mm',
  cm: 'cm',
  mrad: 'mrad',
  deg: 'degrees',
  degree: 'degrees',
  degrees: 'degrees',
  arcsec: 'arcseconds',
  arcmin: 'arcminutes',
};

/** A comma between digits that is no decimal point, by its place. */
interface Comma {
  readonly at: number;
  /** Where the digits before it begin, and those behind it end. */
  readonly start: number;
  readonly end: number;
}

/** The commas between the arguments around a place: those between digits, and how many others have a blank behind. */
function argumentCommas(source: string, place: number): { tight: Comma[]; loose: number } {
  const bracket = readBrackets(source, place).open.at(-1);
  const tight: Comma[] = [];
  let loose = 0;
  if (bracket?.sign !== '(') return { tight, loose };
  for (let at = bracket.at + 1, depth = 1; at < source.length && depth > 0; at += 1) {
    if (/[([{]/.test(source[at])) depth += 1;
    else if (/[)\]}]/.test(source[at])) depth -= 1;
    if (source[at] !== ',' || depth !== 1) continue;
    const left = /(?:^|[^\p{L}\p{N}_$.])(\d+)$/u.exec(source.slice(bracket.at, at))?.[1];
    const right = /^\d+(?![\p{L}\p{N}_$.])/u.exec(source.slice(at + 1))?.[0];
    if (left && right) tight.push({ at, start: at - left.length, end: at + 1 + right.length });
    else if (/\s/.test(source[at + 1] ?? '')) loose += 1;
  }
  return { tight, loose };
}

/** Too many arguments, or one of another kind, where some commas stand between digits and are meant as points. */
function commaAmongArguments({ code, message, source, at }: Finding): Said | undefined {
  if (code !== 2554 && code !== 2559 && code !== 2345) return undefined;
  const { tight, loose } = argumentCommas(source, at);
  const [first] = tight;
  // In 1,2,3 nobody can tell which belong together.
  const isChained = tight.some(({ start }, n) => n > 0 && start < tight[n - 1].end);
  if (!first || isChained) return undefined;
  const [, fewest, most = fewest, got] =
    /^Expected (\d+)(?:-(\d+))? arguments, but got (\d+)/.exec(message) ?? [];
  const meant = Number(got) - tight.length;
  const isCount = got !== undefined && meant >= Number(fewest) && meant <= Number(most);
  if (code === 2554 ? !isCount : loose === 0) return undefined;
  return {
    says: `Decimals are written with a point, not with a comma: ${source.slice(first.start, first.end).replace(',', '.')}`,
    at: first.start,
    end: first.end,
    changes: tight.map((comma) => ({ start: comma.at, end: comma.at + 1, text: '.' })),
  };
}

/** How `unit` reads the units that a function makes. */
const asTyped: Readonly<Record<string, string>> = {
  um: 'um',
  nm: 'nm',
  mm: 'mm',
  cm: 'cm',
  mrad: 'mrad',
  degrees: 'deg',
  arcseconds: 'arcsec',
  arcminutes: 'arcmin',
};

function decimalComma(finding: Finding): Said | undefined {
  const { code, message, text, before, after, at, source } = finding;
  if (asksForList(finding)) return undefined;
  const isTold = code === 1134 || (code === 2554 && /^Expected 1 arguments/.test(message));
  const [, whole] = /(?:^|[^\p{L}\p{N}_$.])(\d[\d.]*),$/u.exec(before) ?? [];
  const digits = /^\d+/.exec(after)?.[0];
  if (isTold && whole !== undefined && digits !== undefined) {
    const start = at - whole.length - 1;
    const plain = whole.includes('.') ? whole.replaceAll('.', '') : whole;
    return {
      says: `Decimals are written with a point, not with a comma: ${plain}.${digits}`,
      at: start,
      end: at + digits.length,
      changes: [{ start, end: at, text: `${plain}.` }],
    };
  }
  // The left of a comma does nothing.
  const [, part] = /^,(\d+)/.exec(source.slice(finding.end)) ?? [];
  const [, number] = /(?:^|[^\p{L}\p{N}_$.])(\d+)$/u.exec(text) ?? [];
  if (code !== 2695 || number === undefined || part === undefined) return undefined;
  return {
    says: `Decimals are written with a point, not with a comma: ${number}.${part}`,
    at: finding.end - number.length,
    end: finding.end + 1 + part.length,
    changes: [{ start: finding.end, end: finding.end + 1, text: '.' }],
  };
}

/** Units in the words in which a sheet's lines ask for them, by the function that makes one of them. */
const asked: readonly (readonly [RegExp, string])[] = [
  [/\bmicromet(?:re|er)s?\b/, 'um'],
  [/\bnanomet(?:re|er)s?\b/, 'nm'],
  [/\bmillimet(?:re|er)s?\b/, 'mm'],
  [/\bcentimet(?:re|er)s?\b/, 'cm'],
  [/\bmet(?:re|er)s?\b/, 'm'],
  [/\bmilliradians?\b/, 'mrad'],
  [/\bradians?\b/, 'rad'],
  [/\bdegrees?\b/, 'degrees'],
  [/\bminutes? of arc\b/, 'arcminutes'],
  [/\bseconds? of arc\b/, 'arcseconds'],
];
const isLength = (unit: string) => /^(?:um|nm|mm|cm|m)$/.test(unit);

/**
 * A value with a unit where the line says the unit that is asked for: `const darkBar = 88 µm;   // in micrometres`.
 *
 * @param unit the typed one, by its function; m and rad are those of all values
 */
function asAnswer(finding: Finding, number: string, start: number, unit: string): Said | undefined {
  const { before, source, end, lineAt } = finding;
  const line = source.slice(lineAt).split('\n', 1)[0];
  const [, words] = /\/\/.*?(\bin [\p{L} ]+)/u.exec(line) ?? [];
  const wanted = asked.find(([pattern]) => words !== undefined && pattern.test(words))?.[1];
  const isWhole =
    /^\s*(?:const|let|var)\s+[\p{L}\p{N}_$]+\s*(?::[^=]*)?=\s*(?:\[[^\]]*)?$/u.test(
      before.slice(0, start - lineAt),
    ) && /^\s*(?:[;,\]]|\/\/|$)/.test(source.slice(end).split('\n', 1)[0]);
  if (!wanted || words === undefined || !isWhole) return undefined;
  const says = `This answer is asked for ${words.trim()}`;
  if (wanted === unit)
    return { says: `${says}: write the number alone.`, changes: [{ start, end, text: number }] };
  if (isLength(wanted) !== isLength(unit))
    return { says: `${says}, and ${source.slice(start, end)} is no such value.` };
  const value = unit === 'm' || unit === 'rad' ? number : `${unit}(${number})`;
  const by = wanted === 'm' || wanted === 'rad' ? '' : ` / ${wanted}(1)`;
  return {
    says: `${says}: ${value}${by} is the value in them.${andImport(finding, by === '' ? unit : wanted)}`,
    changes: [{ start, end, text: value + by }],
  };
}

/** A unit or a name behind a number, with or without a blank between them. */
function behindNumber(finding: Finding): Said | undefined {
  const { code, text, before, at, source, end } = finding;
  const isTold = code === 1351 || expects(finding, ',') || code === 1434;
  const [, number, blank] = numberAtEnd.exec(before) ?? [];
  if (!isTold || number === undefined || !/^[\p{L}_$]/u.test(text)) return undefined;
  if (/^(?:const|let|var|return|if|for|while|and|or|mod|div|function)$/.test(text))
    return undefined;
  const start = at - blank.length - number.length;
  const isTimes = /^[xX]$/.test(text) && /^\s*(?:\d|\(|[\p{L}])/u.test(source.slice(end));
  if (isTimes) {
    const [power, exponent] = /^\s*10\s*(?:\^|\*\*)\s*\(?(-?\d+)\)?/.exec(source.slice(end)) ?? [];
    return power
      ? {
          says: `A power of ten is written with e: ${number}e${exponent}`,
          changes: [{ start, end: end + power.length, text: `${number}e${exponent}` }],
        }
      : { says: 'Times is written *.', changes: replaced(finding, '*') };
  }
  const unit = units[text] ?? (text === 'm' || text === 'rad' ? text : undefined);
  const answer = unit && asAnswer(finding, number, start, unit);
  if (answer) return answer;
  if (unit !== undefined && unit in asTyped && /\bcheck\s*\([^)]*$/.test(before))
    return {
      says: `An answer is handed in as the plain number, in the unit that the question names, or with its unit as unit('${number} ${asTyped[unit]}').${andImport(finding, 'unit')}`,
      changes: [{ start, end, text: `unit('${number} ${asTyped[unit]}')` }],
    };
  if (unit !== undefined && unit in asTyped)
    return {
      says: `A number in ${text} is written ${unit}(${number}): that makes ${isLength(unit) ? 'metres' : 'radians'} of it, to compute with.${andImport(finding, unit)} If it is your answer to a question that asks in ${text}, write ${number} alone, without a unit.`,
      changes: [{ start, end, text: `${unit}(${number})` }],
    };
  if (text === 'm' || text === 'rad')
    return {
      says: `Lengths are in metres and angles in radians already: write the number alone, ${number}.`,
      changes: [{ start, end, text: number }],
    };
  return {
    says: `A sign is missing between ${number} and ${text}. Times is always written: ${number} * ${text}`,
    changes: [{ start, end, text: `${number} * ${text}` }],
  };
}

/** Digits in groups, by a blank, an apostrophe or points. */
function groupedDigits(finding: Finding): Said | undefined {
  const { text, after, before, at } = finding;
  const [points] = /^(?:\.\d{3})+(?![\d.])/.exec(after) ?? [];
  const [, thousands] = /(?:^|[^\p{L}\p{N}_$.])(\d{1,3}\.\d{3})$/u.exec(before) ?? [];
  if (finding.code === 1005 && points && thousands) {
    const start = at - thousands.length;
    const digits = (thousands + points).replaceAll('.', '');
    return {
      says: 'The digits of a number stand together; a point stands before its decimals alone.',
      changes: [{ start, end: at + points.length, text: digits }],
    };
  }
  const [, number, blank] = numberAtEnd.exec(before) ?? [];
  const [group] = /^'?\d{3}(?!\d)(?:[ ']\d{3}(?!\d))*/.exec(after) ?? [];
  if (
    !expects(finding, ',') ||
    !group ||
    number === undefined ||
    innermost(finding.source, finding.at) === '['
  )
    return undefined;
  if (!text.startsWith("'") && blank === '') return undefined;
  return {
    says: 'The digits of a number stand together, without blanks or signs between them.',
    changes: [
      { start: at - blank.length, end: at + group.length, text: group.replace(/[ ']/g, '') },
    ],
  };
}

function digitFirst(finding: Finding): Said | undefined {
  const { code, before, after, at } = finding;
  const [name, digits, word] = /^(\d+)([\p{L}_$][\p{L}\p{N}_$]*)/u.exec(after) ?? [];
  if (code !== 1134 || !/^\s*(?:const|let|var)\s+$/.test(before) || !name) return undefined;
  return {
    says: `A name begins with a letter; digits come after it: ${word}${digits}`,
    changes: [{ start: at, end: at + name.length, text: word + digits }],
  };
}

/** Numbers as they are written elsewhere. */
export const numberEntries: readonly Entry[] = [
  {
    name: 'decimal comma',
    say: (finding) => decimalComma(finding) ?? commaAmongArguments(finding),
  },
  { name: 'name begins with a digit', say: digitFirst },
  { name: 'number and name', say: behindNumber },
  { name: 'grouped digits', say: groupedDigits },
  {
    name: 'power of ten without its number',
    say: ({ code, before }) =>
      code === 1124 && /(?:^|[^\p{L}\p{N}_$.])\d[\d.]*e[+-]?$/iu.test(before)
        ? { says: 'Behind e the power of ten is missing: 3e-6 is three millionths.' }
        : undefined,
  },
  {
    name: 'percent',
    say(finding) {
      const { code, before, at } = finding;
      const [whole, number] = /([\d.]+)\s*%\s*$/.exec(before) ?? [];
      if (code !== 1109 || !whole) return undefined;
      return {
        says: 'The sign % is the remainder of a division. Percent are divided by 100, or handed in as the number alone where the question asks for percent.',
        changes: [{ start: at - whole.length, end: at, text: `${number} / 100` }],
        at: at - whole.length,
        end: at,
      };
    },
  },
];

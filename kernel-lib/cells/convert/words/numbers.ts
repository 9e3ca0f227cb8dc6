import { innermost } from './brackets';
import { andImport, type Entry, expects, type Finding, replaced, type Said } from './finding';

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

function decimalComma(finding: Finding): Said | undefined {
  const { code, message, text, before, after, at, source } = finding;
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
  const unit = units[text];
  if (unit !== undefined)
    return {
      says: `A number in ${text} is written ${unit}(${number}): ${unit === 'degrees' || unit.startsWith('arc') || unit === 'mrad' ? 'that makes radians of it' : 'that makes metres of it'}.${andImport(finding, unit)} Answers are handed in as the plain number, in the unit that the question names.`,
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

/** Digits in groups, by a blank or an apostrophe. */
function groupedDigits(finding: Finding): Said | undefined {
  const { text, after, before, at } = finding;
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
  { name: 'decimal comma', say: decimalComma },
  { name: 'name begins with a digit', say: digitFirst },
  { name: 'number and name', say: behindNumber },
  { name: 'grouped digits', say: groupedDigits },
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

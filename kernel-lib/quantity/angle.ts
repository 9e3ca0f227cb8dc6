import { requireFinite } from '../numerics/require';

const names = ['degrees', 'minutes', 'seconds'] as const;

/** Signs that people write for degrees, minutes and seconds. Longer ones come first. */
const signs: readonly (readonly [RegExp, number])[] = [
  [/^(?:°|º|˚|degrees?|deg|d)/i, 0],
  [/^(?:″|"|”|“|ʺ|′′|''|’’|arcsec(?:ond)?s?|seconds?|sec|s)/i, 2],
  [/^(?:′|'|’|‘|ʹ|`|arcmin(?:ute)?s?|minutes?|min|m)/i, 1],
];

interface Part {
  readonly text: string;
  readonly value: number;
  /** 0 degrees, 1 minutes, 2 seconds. */
  readonly place: number;
}

const wrong = (text: string, what: string) =>
  new RangeError(
    `The angle "${text}" cannot be read: ${what} Ways to write it: 12°34′56″, 12 34 56, 12d34m56s, 12.5.`,
  );

/**
 * An angle as people write it: `12°34′56″`, `12 34 56`, `12:34:56`, `12d34m56s`, `-0°00'30"`, `34′`,
 * decimal degrees `12.5` or `12,5`, or `0.22 rad`. A sign stands in front and holds for the whole
 * angle, also before 0°.
 *
 *   angle = ±(degrees + minutes/60 + seconds/3600) π/180
 *
 * @param text degrees first; decimals only in the last part; minutes and seconds below 60
 * @returns the angle, rad, not wrapped at 360° (see `wrapAngle`)
 * @throws TypeError when it is not text
 * @throws RangeError when it cannot be read; the message names the bad part
 * @example readAngle('12°34′56″') // 0.219601…
 */
export function readAngle(text: string): number {
  if (typeof text !== 'string')
    throw new TypeError(
      `readAngle reads text such as '12°34′56″'; it was given ${typeof text === 'number' ? `the number ${text}. For degrees as a number use degrees(${text})` : `a ${typeof text}`}.`,
    );
  const plain = text.trim().replace(/[−–]/g, '-').replace(/ /g, ' ');
  if (plain === '') throw wrong(text, 'it is empty.');
  const sign = /^[-+]/.exec(plain)?.[0] ?? '';
  const body = plain.slice(sign.length).trim();
  const factor = sign === '-' ? -1 : 1;

  const radians = /^(\d*\.?\d+(?:e[-+]?\d+)?)\s*(m?)rad$/i.exec(body);
  if (radians) return (factor * Number(radians[1])) / (radians[2] ? 1000 : 1);

  const parts = readParts(text, body);
  checkParts(text, parts);
  const seconds = parts.reduce((sum, { value, place }) => sum + value * 60 ** (2 - place), 0);
  return seconds === 0 ? 0 : factor * (seconds / 648000) * Math.PI;
}

/** Cut into numbers with their places: by the sign behind each, else the place after the one before. */
function readParts(text: string, body: string): Part[] {
  const parts: Part[] = [];
  let rest = body;
  while (rest !== '') {
    const number = /^(?:\d+(?:\.\d*|,\d+)?|[.,]\d+)/.exec(rest)?.[0];
    if (!number) throw wrong(text, `"${rest.slice(0, 12)}" is not a number${signHint(rest)}.`);
    rest = rest.slice(number.length).trimStart();
    let place = parts.length === 0 ? 0 : parts[parts.length - 1].place + 1;
    for (const [pattern, meant] of signs) {
      const sign = pattern.exec(rest)?.[0];
      if (!sign) continue;
      place = meant;
      rest = rest.slice(sign.length).trimStart();
      break;
    }
    if (/^[:,;]/.test(rest) && rest.length > 1) rest = rest.slice(1).trimStart();
    parts.push({ text: number, value: Number(number.replace(',', '.')), place });
  }
  return parts;
}

const signHint = (rest: string) =>
  /^[-+]/.test(rest) ? ' (a sign belongs in front of the whole angle)' : '';

function checkParts(text: string, parts: readonly Part[]): void {
  for (const [i, { text: number, value, place }] of parts.entries()) {
    const name = names[place];
    if (!name) throw wrong(text, `"${number}" is a fourth part; there are only three.`);
    if (i > 0 && place <= parts[i - 1].place)
      throw wrong(text, `the ${name} "${number}" come after the ${names[parts[i - 1].place]}.`);
    if (i < parts.length - 1 && /[.,]/.test(number))
      throw wrong(text, `only the last part may have decimals, but the ${name} are "${number}".`);
    if (i > 0 && value >= 60)
      throw wrong(text, `the ${name} are ${number}; they must lie below 60.`);
  }
}

const arcsecondsPerRadian = 648000 / Math.PI;
const named = { degree: 3600, arcminute: 60, arcsecond: 1 } as const;

/** The least count in seconds of arc, freed from rounding in the last places. */
function countOf(leastCount: keyof typeof named | number): number {
  const count =
    typeof leastCount === 'number'
      ? Number((leastCount * arcsecondsPerRadian).toPrecision(12))
      : named[leastCount];
  if (count > 0 && Number.isFinite(count)) return count;
  throw new RangeError(
    `The least count of an angle is 'degree', 'arcminute', 'arcsecond' or a positive angle in rad; ${String(leastCount)} was given.`,
  );
}

/** How many decimals a number has, at most six. */
function decimalsOf(value: number): number {
  for (let decimals = 0; decimals < 6; decimals++)
    if (Math.abs(value - Number(value.toFixed(decimals))) < 1e-9 * value) return decimals;
  return 6;
}

/**
 * An angle in degrees, minutes and seconds, rounded to a multiple of the least count.
 *
 * @param angle rad
 * @param leastCount `'degree'`, `'arcminute'`, `'arcsecond'`, or an angle in rad such as `arcseconds(20)`
 * @returns text such as `12° 34′ 56″`; parts finer than the least count are left out
 * @throws TypeError, RangeError when the angle is not a finite number
 * @throws RangeError when the least count is not one of those
 * @example writeAngle(0.2196011, 'arcsecond') // '12° 34′ 56″'
 */
export function writeAngle(
  angle: number,
  leastCount: 'degree' | 'arcminute' | 'arcsecond' | number = 'arcsecond',
): string {
  requireFinite('The angle', angle, 'give it in radians');
  const count = countOf(leastCount);
  const total = Math.round((Math.abs(angle) * arcsecondsPerRadian) / count) * count;
  const decimals = decimalsOf(count);
  // Whole units of the last decimal, so that 59.99… never prints as 60.
  const scale = 10 ** decimals;
  const units = Math.round(total * scale);
  const sign = angle < 0 && units > 0 ? '−' : '';
  const degrees = Math.floor(units / (3600 * scale));
  const minutes = Math.floor(units / (60 * scale)) % 60;
  const seconds = (units % (60 * scale)) / scale;
  const two = (value: number, places = 0) =>
    value.toFixed(places).padStart(places ? places + 3 : 2, '0');
  if (count % 3600 === 0) return `${sign}${degrees}°`;
  if (count % 60 === 0) return `${sign}${degrees}° ${two(minutes)}′`;
  return `${sign}${degrees}° ${two(minutes)}′ ${two(seconds, decimals)}″`;
}

const turn = 2 * Math.PI;

/**
 * The same direction between 0 and below 360°.
 *
 * @param angle rad, finite
 * @returns rad, 0 ≤ result < 2π
 * @throws TypeError, RangeError when the angle is not a finite number
 * @example wrapAngle(-Math.PI / 2) // 4.71238898…
 */
export function wrapAngle(angle: number): number {
  const rest = requireFinite('The angle', angle, 'give it in radians') % turn;
  const wrapped = rest < 0 ? rest + turn : rest;
  return wrapped >= turn || wrapped === 0 ? 0 : wrapped;
}

/**
 * The same direction between above −180° and 180°: the short way from one reading to another.
 *
 * @param angle rad, finite
 * @returns rad, −π < result ≤ π
 * @throws TypeError, RangeError when the angle is not a finite number
 * @example wrapAngleSigned(1.5 * Math.PI) // -1.57079632…
 */
export function wrapAngleSigned(angle: number): number {
  const wrapped = wrapAngle(angle);
  return wrapped > Math.PI ? wrapped - turn : wrapped;
}

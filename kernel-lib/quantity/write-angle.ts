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
 * @throws TypeError when the angle is not a finite number
 * @throws RangeError when the least count is not one of those
 * @example writeAngle(0.2196011, 'arcsecond') // '12° 34′ 56″'
 */
export function writeAngle(
  angle: number,
  leastCount: 'degree' | 'arcminute' | 'arcsecond' | number = 'arcsecond',
): string {
  if (typeof angle !== 'number' || !Number.isFinite(angle))
    throw new TypeError(`writeAngle takes an angle in rad; it was given ${String(angle)}.`);
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

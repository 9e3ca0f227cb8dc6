import { writeAngle } from '../quantity/angle';
import { formatQuantity, unitNamed } from '../quantity/known-unit';
import { printMeasured } from '../quantity/print-measured';
import type { NumberRead } from './read-number';
import type { Tolerance } from './sheet';

/** Enough digits that two values on either side of the tolerance look different. */
export function digitsFor(tolerance: Tolerance | undefined, size: number): number {
  if (!tolerance || 'uncertainties' in tolerance) return 4;
  const relative =
    'relative' in tolerance ? tolerance.relative : tolerance.absolute / Math.abs(size || 1);
  const digits = Math.ceil(-Math.log10(relative)) + 1;
  return Math.min(12, Math.max(4, Number.isFinite(digits) ? digits : 4));
}

/** A value as the verdict shows it: in the stated unit, and for degrees also in ° ′ ″. */
export function shownNumber(read: NumberRead, unit: string, tolerance?: Tolerance): string {
  if (read.u !== undefined && read.u > 0)
    return printMeasured({ value: read.value, u: read.u }, { unit });
  const text = formatQuantity(read.value, unit, digitsFor(tolerance, read.value));
  const isDegrees = unitNamed(unit).name === 'deg' && Number.isFinite(read.value);
  return isDegrees && Math.abs(read.value) < 100
    ? `${text} (${writeAngle(read.value, 'arcsecond')})`
    : text;
}

/** A tolerance in words: "0.5 %", "0.2 mm", "2 standard uncertainties". */
export function shownTolerance(tolerance: Tolerance, unit: string): string {
  if ('relative' in tolerance) return formatQuantity(tolerance.relative, '%', 3);
  if ('absolute' in tolerance) return formatQuantity(tolerance.absolute, unit, 3);
  const k = tolerance.uncertainties;
  return `${k} standard ${k === 1 ? 'uncertainty' : 'uncertainties'}`;
}

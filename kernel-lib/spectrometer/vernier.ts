import { requireFinite } from '../numerics/require';
import { wrapAngle } from '../quantity/angle';

/** One line of the main scale. */
export interface MainLine {
  /** Angle it stands for, rad, counted on past 360° so that lines ascend. */
  readonly angle: number;
  /** Whole degrees are `long`, half and other sub-multiples shorter. */
  readonly length: 'long' | 'middle' | 'short';
  /** Such as `12°`, at the long lines. */
  readonly label?: string;
}

/** One line of the vernier. */
export interface VernierLine {
  /** 0 is the vernier's own zero. */
  readonly index: number;
  /** Where it stands against the main scale, rad, on the same count as the main lines. */
  readonly angle: number;
  readonly length: 'long' | 'short';
  /** Minutes (or seconds) that the line adds, such as `15`, at every fifth or so. */
  readonly label?: string;
}

/** A vernier as a figure draws it, and what it reads. All angles in rad. */
export interface VernierScale {
  readonly leastCount: number;
  /** One division of the main scale. */
  readonly mainDivision: number;
  /** How many divisions the vernier has; they are as long as one main division fewer. */
  readonly divisions: number;
  readonly main: readonly MainLine[];
  readonly vernier: readonly VernierLine[];
  /** Index of the vernier line that coincides with a main line. */
  readonly coinciding: number;
  /** The last main line before the vernier's zero: the reading starts from it. */
  readonly mainReading: number;
  /** What the vernier adds: coinciding × leastCount. */
  readonly vernierReading: number;
  /** mainReading + vernierReading, wrapped to 0 … 360°. */
  readonly reading: number;
  /** Unit of the vernier's labels. */
  readonly labelUnit: '′' | '″';
}

const second = Math.PI / 648000;
/** Main divisions in seconds that divided circles have: 5′, 10′, 15′, 20′, 30′, 1°. */
const mainDivisions = [300, 600, 900, 1200, 1800, 3600];
/** Usual pairs, least count → main division, in seconds (common practice, no source). */
const usual: Readonly<Record<number, number>> = { 60: 1800, 30: 1200, 20: 1200, 10: 600 };

/**
 * A vernier set to an angle, line by line, as data for a drawing.
 *
 * Its n divisions cover n − 1 divisions M of the main scale, so line k coincides when the zero stands k M/n past a
 * main line: least count = M / n. An angle between two multiples is rounded to the nearer one, as an eye does.
 *
 * @param angle where the vernier's zero stands, rad, any turn
 * @param options leastCount: rad, 1′, 30″, 20″, 10″ or any that divides the main division into 6 to 120 parts
 * (default 1′); mainDivision: rad, 5′ to 1° (default 30′ for 1′, 20′ for 30″ and 20″, 10′ for 10″);
 * exact: draw the zero at the given angle instead of at the reading (default false)
 * @returns main lines around the vernier, the vernier's lines, the coinciding one, and the reading
 * @throws RangeError when the main division is not a whole multiple of the least count
 * @example vernierScale((12 + 47 / 60) * Math.PI / 180).coinciding // 17: 12° 30′ + 17′
 */
export function vernierScale(
  angle: number,
  options: {
    readonly leastCount?: number;
    readonly mainDivision?: number;
    readonly exact?: boolean;
  } = {},
): VernierScale {
  const least = inSeconds('leastCount', options.leastCount ?? 60 * second);
  const division = options.mainDivision
    ? inSeconds('mainDivision', options.mainDivision)
    : divisionFor(least);
  const divisions = Math.round(division / least);
  checkDivisions(division, least, divisions);

  const seconds = wrapAngle(requireFinite('The angle', angle, 'give it in radians')) / second;
  const steps = Math.round(seconds / least);
  const mainIndex = Math.floor(steps / divisions);
  const coinciding = steps - mainIndex * divisions;
  const zero = options.exact ? seconds : steps * least;
  const margin = Math.max(3, Math.ceil(divisions / 8));
  const main: MainLine[] = [];
  for (let k = mainIndex - margin; k <= mainIndex + divisions + margin; k++) {
    main.push(mainLine(k * division));
  }
  const inMinutes = least >= 60 || division / 60 >= 5;
  const vernier = Array.from({ length: divisions + 1 }, (_, k) =>
    vernierLine(
      k,
      zero + (k * division * (divisions - 1)) / divisions,
      least,
      divisions,
      inMinutes,
    ),
  );
  return {
    leastCount: least * second,
    mainDivision: division * second,
    divisions,
    main,
    vernier,
    coinciding,
    mainReading: mainIndex * division * second,
    vernierReading: coinciding * least * second,
    reading: wrapAngle(((steps * least) % 1296000) * second),
    labelUnit: inMinutes ? '′' : '″',
  };
}

function mainLine(seconds: number): MainLine {
  const whole = seconds % 3600 === 0;
  const degrees = (((seconds / 3600) % 360) + 360) % 360;
  const half = seconds % 1800 === 0;
  return {
    angle: seconds * second,
    length: whole ? 'long' : half ? 'middle' : 'short',
    ...(whole ? { label: `${degrees}°` } : {}),
  };
}

function vernierLine(
  index: number,
  seconds: number,
  least: number,
  divisions: number,
  inMinutes: boolean,
): VernierLine {
  const value = (index * least) / (inMinutes ? 60 : 1);
  const every = labelStep(least, divisions, inMinutes);
  const long = index % every === 0;
  return {
    index,
    angle: seconds * second,
    length: long ? 'long' : 'short',
    ...(long ? { label: String(Math.round(value * 100) / 100) } : {}),
  };
}

/** Label whole minutes (or round seconds) so that about 6 to 12 labels stand on the vernier. */
function labelStep(least: number, divisions: number, inMinutes: boolean): number {
  const unit = inMinutes ? Math.max(1, Math.round(60 / least)) : 1;
  const fits = [1, 2, 5, 10, 15, 20, 30].map((k) => k * unit);
  return fits.find((every) => divisions / every <= 12 && divisions % every === 0) ?? divisions;
}

function divisionFor(least: number): number {
  const found =
    usual[least] ??
    mainDivisions.find((division) => {
      const parts = division / least;
      return Number.isInteger(parts) && parts >= 6 && parts <= 120;
    });
  if (found) return found;
  throw new RangeError(
    `No usual main scale (5′, 10′, 15′, 20′, 30′, 1°) is a whole multiple of the least count ${least}″: take 1′, 30″, 20″ or 10″, or give mainDivision as well.`,
  );
}

function checkDivisions(division: number, least: number, divisions: number): void {
  if (Math.abs(divisions * least - division) > 1e-6 || divisions < 2 || divisions > 240) {
    throw new RangeError(
      `A main division of ${division}″ cannot be read to ${least}″ by a vernier: it must be 2 to 240 times the least count, a whole number.`,
    );
  }
}

/** Whole or decimal seconds of arc, freed from the rounding of radians. */
function inSeconds(name: string, angle: number): number {
  const seconds = Number((angle / second).toPrecision(9));
  if (typeof angle === 'number' && seconds > 0 && seconds <= 36000) return seconds;
  throw new RangeError(
    `${name} is ${String(angle)}: give a small positive angle in radians, such as arcminutes(1).`,
  );
}

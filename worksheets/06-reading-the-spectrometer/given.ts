import {
  arcminutes,
  arcseconds,
  circleReadings,
  type Draw,
  degrees,
  formatQuantity,
  halfAngle,
  type LampName,
  lamp,
  seeded,
  type VernierPair,
  withoutEccentricity,
  writeAngle,
} from 'multislit';

/** What each student gets; lengths in m, angles in rad. */
export interface Given {
  /** Spacing of the lines by the grating's label, m. */
  label: number;
  /** Where the zero of the vernier in 6.2 stands, rad. */
  vernier: number;
  /** Both verniers on the green mercury line in the second order, on either side. */
  green: { left: VernierPair; right: VernierPair };
  /** Mercury lines, the two verniers averaged. */
  known: KnownLine[];
  /** Three lines of a lamp without a label, shortest wavelength first. */
  unknown: Setting[];
  /** Standard uncertainty of each averaged direction, rad. */
  directionUncertainty: number;
  /** Angle of incidence in 6.8, rad. */
  tilt: number;
}

/** Directions of one order on both sides. */
export interface Setting {
  order: number;
  /** Direction on the left, both verniers averaged, rad. */
  left: number;
  /** Direction on the right, both verniers averaged, rad. */
  right: number;
}

export interface KnownLine extends Setting {
  /** Its colour, and which of two. */
  line: string;
  /** Wavelength in air, m. */
  wavelength: number;
}

export const greenWavelength = 546.075e-9;
const mercury = [
  { line: 'blue', nanometres: 435.8336 },
  { line: 'green', nanometres: 546.075 },
  { line: 'yellow, inner', nanometres: 576.961 },
  { line: 'yellow, outer', nanometres: 579.067 },
];

/** Which lines of the lamp without a label are read, to the nearest nanometre. */
const candidates = {
  cadmium: [480, 509, 644],
  helium: [447, 588, 668],
  hydrogen: [434, 486, 656],
} as const satisfies Partial<Record<LampName, readonly number[]>>;
export type Candidate = keyof typeof candidates;
const names = Object.keys(candidates) as Candidate[];

/** Tabulated wavelengths of the candidate's lines, in air, m. */
const tabulated = (name: Candidate): number[] =>
  candidates[name].map((rounded) => {
    const line = lamp(name).lines?.find(
      ({ wavelength }) => Math.round(wavelength * 1e9) === rounded,
    );
    if (!line) throw new RangeError(`The ${name} lamp has no line near ${rounded} nm.`);
    return line.wavelength;
  });

/** True number of lines per millimetre, never the 600 of the label. */
const ruled = [594, 594.5, 595, 595.5, 596, 596.5, 603.5, 604, 604.5, 605, 605.5, 606];

export function givens(draw: Draw): Given {
  const spacing = 1e-3 / draw.choice('lines per millimetre', ruled);
  const zero = draw.between('zero', 6 * 60, 28 * 60, 1) * arcminutes(1);
  const circle = {
    leastCount: arcminutes(1),
    zero,
    eccentricity: arcminutes(draw.between('eccentricity', 4, 6, 0.5)),
    offsetDirection: zero + degrees(draw.between('offset direction', -20, 20, 1)),
  };
  const random = seeded(draw.seed('settings of the telescope'));
  const scatter = arcseconds(20);
  const read = (wavelengths: number[], orders: number[]) =>
    wavelengths.flatMap((wavelength) =>
      orders.map((order) => {
        const setting = { spacing, wavelengths: [wavelength], orders: [order, -order] };
        const [left, right] = circleReadings(random, { ...setting, circle, scatter });
        return { wavelength, order, left: left.readings[0], right: right.readings[0] };
      }),
    );
  const known = read(
    mercury.map(({ nanometres }) => nanometres / 1e9),
    [1, 2],
  );
  const unknown = read(tabulated(draw.choice('lamp', names)), [2]);
  const averaged = ({ order, left, right }: (typeof known)[number]): Setting => ({
    order,
    left: toHalfMinute(withoutEccentricity(left)),
    right: toHalfMinute(withoutEccentricity(right)),
  });
  const { left, right } = known[3];
  return {
    label: 1e-3 / 600,
    vernier: vernierSetting(draw),
    green: { left, right },
    known: known.map((each, i) => ({
      line: mercury[Math.floor(i / 2)].line,
      wavelength: each.wavelength,
      ...averaged(each),
    })),
    unknown: unknown.map(averaged),
    directionUncertainty: arcseconds(24),
    tilt: degrees(draw.between('tilt', 4, 8, 0.5)),
  };
}

/** Half degrees and minutes, so that a line between the long ones and a vernier line well inside have to be read. */
function vernierSetting(draw: Draw): number {
  const minutes = [5, 6, 7, 8, 9, 11, 12, 13, 14, 16, 17, 18, 22, 23, 24, 26];
  return degrees(draw.between('circle', 100, 330, 1), 30 + draw.choice('vernier', minutes));
}

/** The mean of two verniers read to 1′. */
const toHalfMinute = (angle: number) => Math.round(angle / arcseconds(30)) * arcseconds(30);

/** What `begin` tells the student. */
export function tells(given: Given): string[] {
  const angle = (value: number) => writeAngle(value, 'arcminute');
  const fine = (value: number) => writeAngle(value, arcseconds(30));
  const pair = ({ first, second }: VernierPair) => `${angle(first)} and ${angle(second)}`;
  const sides = ({ order, left, right }: Setting) =>
    `order ${order}: left ${fine(left)}, right ${fine(right)}`;
  const inUnit = (value: number, unit: string) => formatQuantity(value, unit, 6);
  const { green, known, unknown } = given;
  return [
    `By its label the grating has 600 lines per millimetre: d = ${inUnit(given.label, 'nm')} (given.label)`,
    `For 6.3: green line, second order, first and second vernier: left ${pair(green.left)} (given.green.left.first, given.green.left.second); right ${pair(green.right)} (given.green.right.first, given.green.right.second)`,
    'For 6.4: mercury lines, their wavelengths in air, both verniers averaged (given.known):',
    ...mercury.map(({ line }) => {
      const orders = known.filter((each) => each.line === line);
      const [{ wavelength }] = orders;
      return `${line} ${formatQuantity(wavelength, 'nm', 7)}: ${orders.map(sides).join('; ')}`;
    }),
    `For 6.5: three lines of the lamp without a label (given.unknown): ${unknown.map(sides).join('; ')}`,
    `Standard uncertainty of each averaged direction: ${inUnit(given.directionUncertainty, 'arcsec')} (given.directionUncertainty)`,
    `For 6.8: angle of incidence θi = ${inUnit(given.tilt, 'deg')} (given.tilt)`,
  ];
}

export const angleOf = ({ left, right }: Setting) => halfAngle(left, right);
/** Half of the difference of two independent directions. */
export const angleUncertainty = (given: Given) => given.directionUncertainty / Math.SQRT2;

/**
 * Spacing d by weighted least squares of y = x / d through the origin, with its standard uncertainty.
 * By default y is the sine of each angle and x its order times its wavelength.
 */
export function fittedSpacing(
  given: Given,
  x: (line: KnownLine) => number = ({ order, wavelength }) => order * wavelength,
  y: (angle: number) => number = Math.sin,
): { value: number; u: number } {
  let [along, across] = [0, 0];
  for (const line of given.known) {
    const angle = angleOf(line);
    const weight = 1 / (Math.cos(angle) * angleUncertainty(given)) ** 2;
    along += weight * x(line) ** 2;
    across += weight * x(line) * y(angle);
  }
  const value = along / across;
  return { value, u: value ** 2 / Math.sqrt(along) };
}

/** Wavelengths of the lamp without a label, with what its angle and what the spacing adds to the uncertainty. */
export function foundLines(given: Given) {
  const spacing = fittedSpacing(given);
  return given.unknown.map((setting) => {
    const angle = angleOf(setting);
    const value = (spacing.value * Math.sin(angle)) / setting.order;
    return {
      value,
      byAngle: (spacing.value * Math.cos(angle) * angleUncertainty(given)) / setting.order,
      bySpacing: (value * spacing.u) / spacing.value,
    };
  });
}

/** The candidate whose table lies nearest. */
export function namedLamp(given: Given): Candidate {
  const found = foundLines(given);
  const misfit = (name: Candidate) =>
    tabulated(name).reduce((sum, wavelength, i) => sum + Math.abs(wavelength - found[i].value), 0);
  return names.reduce((best, name) => (misfit(name) < misfit(best) ? name : best));
}

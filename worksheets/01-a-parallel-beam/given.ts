import {
  type Draw,
  findRoot,
  fitCurve,
  formatQuantity,
  mm,
  nearField,
  nm,
  sincPi,
  slits,
  um,
} from 'multislit';

/** What each student gets; lengths in m. */
export interface Given {
  /** Width b of the source slit, m. */
  sourceWidth: number;
  /** Focal length f₁ of the collimator, m. */
  collimatorFocalLength: number;
  /** Focal length f of the camera lens, m. */
  focalLength: number;
  /** Wavelength λ that the green filter passes, m. */
  wavelength: number;
  /** Width of the beam that a bare source is to light, m. */
  beamWidth: number;
  /** Into how many parts of a wavelength its wavefront may be off. */
  parts: number;
  /** Width a of each slit of the pair, m. */
  width: number;
  /** Spacing d of the pair from centre to centre, m. */
  spacing: number;
  /** Width of the one slit without a camera behind it, m. */
  slitWidth: number;
  /** Fresnel numbers that three screens behind it are to have. */
  fresnelNumbers: number[];
  /** Share of the far field's irradiance that is to be reached, a part of 1. */
  reached: number;
  /** Widths of the source slit at which an unlabelled pair was looked at, m. */
  sourceWidths: number[];
  /** Contrast of its fringes at each of these widths. */
  contrasts: number[];
  /** Standard uncertainty of each contrast. */
  contrastUncertainty: number;
}

export function givens(draw: Draw): Given {
  const collimatorFocalLength = draw.between('collimator', mm(300), mm(450), mm(10));
  const wavelength = draw.between('wavelength', nm(510), nm(555), nm(5));
  const spacing = draw.between('spacing', um(300), um(600), um(10));
  const contrastUncertainty = 0.01;
  return {
    sourceWidth: draw.between('source width', um(30), um(120), um(5)),
    collimatorFocalLength,
    focalLength: toTheNearest(
      collimatorFocalLength * draw.between('camera', 1.86, 2.1, 0.02),
      mm(5),
    ),
    wavelength,
    beamWidth: draw.between('beam width', mm(2), mm(5), mm(0.1)),
    parts: draw.choice('parts', [8, 10, 12, 16, 20]),
    width: toTheNearest(spacing / draw.between('ratio', 2.5, 3.4, 0.1), um(5)),
    spacing,
    slitWidth: draw.between('slit width', um(300), um(500), um(10)),
    fresnelNumbers: [
      draw.between('near', 1.6, 3, 0.1),
      draw.between('between', 0.4, 0.7, 0.05),
      draw.between('far', 0.06, 0.1, 0.01),
    ],
    reached: draw.between('reached', 0.95, 0.98, 0.005),
    ...readings(draw, collimatorFocalLength * wavelength, contrastUncertainty),
    contrastUncertainty,
  };
}

/** What `begin` tells the student. */
export function tells(given: Given): string[] {
  const inUnit = (value: number, unit: string) => formatQuantity(value, unit, 6);
  const contrasts = given.sourceWidths.map(
    (b, i) => `${Math.round(b / um(1))} µm ${given.contrasts[i].toFixed(3)}`,
  );
  return [
    `Source slit: b = ${inUnit(given.sourceWidth, 'um')} (given.sourceWidth)`,
    `Focal length of the collimator: f₁ = ${inUnit(given.collimatorFocalLength, 'mm')} (given.collimatorFocalLength)`,
    `Focal length of the camera lens: f = ${inUnit(given.focalLength, 'mm')} (given.focalLength)`,
    `Wavelength behind the green filter: λ = ${inUnit(given.wavelength, 'nm')} (given.wavelength)`,
    `For 1.3: beam ${inUnit(given.beamWidth, 'mm')} wide (given.beamWidth), wavefront flat to 1/${given.parts} of a wavelength (given.parts)`,
    `Pair of slits: a = ${inUnit(given.width, 'um')} wide (given.width), d = ${inUnit(given.spacing, 'um')} apart (given.spacing)`,
    `For 1.6 and 1.7: one slit ${inUnit(given.slitWidth, 'um')} wide (given.slitWidth)`,
    `For 1.6: screens with the Fresnel numbers ${given.fresnelNumbers.join(', ')} (given.fresnelNumbers)`,
    `For 1.7: ${inUnit(given.reached, '%')} of the far field's irradiance (given.reached)`,
    `For 1.8: contrast of an unlabelled pair for source slits of different widths (given.sourceWidths; given.contrasts, each with the standard uncertainty given.contrastUncertainty = ${given.contrastUncertainty}): ${contrasts.join('; ')}`,
  ];
}

/** Contrasts measured at widths up to 1.5 times the one at which the fringes vanish. */
function readings(draw: Draw, scale: number, uncertainty: number) {
  const spacing = draw.between('unlabelled spacing', um(300), um(600), um(5));
  const errors = draw.normals('contrasts', 12);
  const sourceWidths = errors.map((_, i) =>
    toTheNearest((0.125 * (i + 1) * scale) / spacing, um(10)),
  );
  const contrasts = sourceWidths.map((b, i) => {
    const seen = Math.abs(sincPi((b * spacing) / scale)) + uncertainty * errors[i];
    return Math.min(1, Math.max(0, toTheNearest(seen, 0.001)));
  });
  return { sourceWidths, contrasts };
}

function toTheNearest(value: number, step: number): number {
  return Number((Math.round(value / step) * step).toPrecision(9));
}

/** Contrast of the fringes of a pair `d` apart for a source slit `b` wide. */
export const contrast = ({ wavelength, collimatorFocalLength }: Given, b: number, d: number) =>
  Math.abs(sincPi((b * d) / (wavelength * collimatorFocalLength)));

const known = new WeakMap<number[], number>();

/** Spacing of the unlabelled pair by least squares. */
export function fittedSpacing(given: Given): number {
  const before = known.get(given.contrasts);
  if (before !== undefined) return before;
  const { sourceWidths: x, contrasts: y, contrastUncertainty: u } = given;
  const darkest = x[y.indexOf(Math.min(...y))];
  const start = (given.wavelength * given.collimatorFocalLength) / darkest;
  const fit = fitCurve((b, [d]) => contrast(given, b, d), { x, y, u }, [start]);
  const spacing = fit.parameters[0].value;
  known.set(given.contrasts, spacing);
  return spacing;
}

/** Where the irradiance on the axis behind the slit has come up to a share of the far field's, a²/λz. */
export function distanceFor({ slitWidth, wavelength }: Given, share: number): number {
  const slit = slits(1, { width: slitWidth });
  const zone = slitWidth ** 2 / (4 * wavelength);
  return findRoot(
    (z) => (nearField(slit, wavelength, z, [0])[0] * wavelength * z) / slitWidth ** 2 - share,
    zone,
    100 * zone,
  );
}

/** Distance at which the slit has a Fresnel number, counted with half of its width. */
export const screen = ({ slitWidth, wavelength }: Given, fresnelNumber: number) =>
  (slitWidth / 2) ** 2 / (wavelength * fresnelNumber);

import { type Draw, findRoot, fitLine, formatQuantity, mm, nm, um } from 'multislit';

/** What each student gets; lengths in m. */
export interface Given {
  /** Width a of the labelled slit, m. */
  width: number;
  /** Wavelength λ that the green filter passes, m. */
  wavelength: number;
  /** Focal length f of the camera lens, m. */
  focalLength: number;
  /** Width of an opening in a screen in the plane of the film, symmetric to the centre, m. */
  opening: number;
  /** Wavelength of the green that is to cancel in white light, m. */
  cancelled: number;
  /** Orders of the dark lines that were read. */
  orders: number[];
  /** Where they lie on the film's scale, whose zero is anywhere, m. */
  readings: number[];
  /** Standard uncertainty of each reading, m. */
  readingUncertainty: number;
  /** Standard uncertainty of the focal length, m. */
  focalLengthUncertainty: number;
  /** Standard uncertainty of the wavelength, m. */
  wavelengthUncertainty: number;
}

export function givens(draw: Draw): Given {
  const width = draw.between('width', um(40), um(80), um(1));
  const wavelength = draw.between('wavelength', nm(510), nm(555), nm(5));
  const focalLength = draw.between('focal length', mm(200), mm(400), mm(10));
  const band = (2 * focalLength * wavelength) / width;
  const share = draw.between('opening', 0.56, 0.74, 0.01);
  const orders = [-4, -3, -2, -1, 1, 2, 3, 4];
  const readingUncertainty = mm(0.02);
  return {
    width,
    wavelength,
    focalLength,
    opening: toTheNearest(share * band, mm(0.01)),
    cancelled: draw.between('cancelled', nm(530), nm(555), nm(5)),
    orders,
    readings: readings(draw, orders, { wavelength, focalLength, uncertainty: readingUncertainty }),
    readingUncertainty,
    focalLengthUncertainty: mm(1),
    wavelengthUncertainty: nm(3),
  };
}

/** What `begin` tells the student. */
export function tells(given: Given): string[] {
  const { orders, readings } = given;
  const lines = orders.map(
    (m, i) => `${m < 0 ? '−' : '+'}${Math.abs(m)} at ${(readings[i] / mm(1)).toFixed(2)} mm`,
  );
  return [
    `Width of the slit: a = ${inUnit(given.width, 'um')} (given.width)`,
    `Wavelength behind the green filter: λ = ${inUnit(given.wavelength, 'nm')} (given.wavelength)`,
    `Focal length of the camera lens: f = ${inUnit(given.focalLength, 'mm')} (given.focalLength)`,
    `For 2.5: opening ${inUnit(given.opening, 'mm')} wide (given.opening)`,
    `For 2.6: the green that cancels, ${inUnit(given.cancelled, 'nm')} (given.cancelled)`,
    `For 2.7: dark lines of the unlabelled slit (given.orders, given.readings): ${lines.join('; ')}`,
    `For 2.8: standard uncertainties: each reading ${inUnit(given.readingUncertainty, 'mm')} (given.readingUncertainty), focal length ${inUnit(given.focalLengthUncertainty, 'mm')} (given.focalLengthUncertainty), wavelength ${inUnit(given.wavelengthUncertainty, 'nm')} (given.wavelengthUncertainty)`,
  ];
}

const inUnit = (value: number, unit: string) => formatQuantity(value, unit, 6);

/** Dark lines of a slit without a label, read to 0.01 mm on a scale that starts anywhere. */
function readings(
  draw: Draw,
  orders: number[],
  {
    wavelength,
    focalLength,
    uncertainty,
  }: { wavelength: number; focalLength: number; uncertainty: number },
): number[] {
  const width = draw.between('unlabelled width', um(45), um(75), um(0.5));
  const centre = draw.between('centre', mm(30), mm(50), mm(0.01));
  const errors = draw.normals('readings', orders.length);
  return orders.map((order, i) => {
    const x = focalLength * Math.tan(Math.asin((order * wavelength) / width));
    return toTheNearest(centre + x + uncertainty * errors[i], mm(0.01));
  });
}

function toTheNearest(value: number, step: number): number {
  return Number((Math.round(value / step) * step).toPrecision(9));
}

/** Angle θ with sin θ = mλ/a: the m-th dark line for whole m. */
export const angle = ({ wavelength, width }: Given, m: number) =>
  Math.asin((m * wavelength) / width);
export const angles = (given: Given, ...orders: number[]) => orders.map((m) => angle(given, m));
/** From the centre of the film to the first minimum. */
export const halfBand = (given: Given) => given.focalLength * Math.tan(angle(given, 1));

/** Where the side maxima lie, in λ/a: the roots of tan πm = πm. */
export const sides = [1, 2, 3].map((n) =>
  findRoot((m) => Math.sin(Math.PI * m) - Math.PI * m * Math.cos(Math.PI * m), n + 0.2, n + 0.5),
);

/** Width of the unlabelled slit when its dark lines are numbered so. */
export function fittedWidth(given: Given, orders: readonly number[] = given.orders): number {
  const { slope } = fitLine({ x: orders, y: given.readings });
  return (given.focalLength * given.wavelength) / slope.value;
}

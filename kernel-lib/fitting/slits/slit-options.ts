import { requireFinite, requireOneOf, requirePositive, requireWhole } from '../../numerics/require';
import type { Profile } from '../profile';
import type { BlurShape } from './blur';
import { type SlitGeometry, type SlitParameter, slitParameters } from './slit-model';

/** Settings of `fitSlits`. */
export interface SlitFitOptions {
  /** λ, m, in the air that the light crosses. */
  readonly wavelength: number;
  /** f, m: focal length of the camera lens, or distance to a far screen. Left out: x is the direction sine itself. */
  readonly focalLength?: number;
  /** How many slits, when that is known; left out: found. */
  readonly count?: number;
  /** Largest count that is tried; left out: the search goes on until two more slits explain less, up to 60. */
  readonly maxCount?: number;
  /**
   * What takes the fringes their contrast: 'box', as a source slit does, 'gaussian', as a lens out of focus or a film
   * does, both of them blurring the whole pattern; 'none': the pattern is sharp and its contrast a parameter, as for
   * slits lit unequally. Left out: box and Gaussian are tried, and the one that fits better is kept; with a fixed
   * visibility 'none'.
   */
  readonly blur?: BlurShape | 'none';
  /** 'sloping' for stray light that rises or falls evenly along the profile; default 'level'. */
  readonly background?: 'level' | 'sloping';
  /**
   * 'even' where all slits have the same light; 'beam' where a laser's beam lights them, brightest in the middle and
   * falling off towards the outermost by a falloff that is found: the middle of the beam is taken to be that of the slits.
   * Left out: even, and where that leaves residuals that drift, a beam as well for three slits and more.
   */
  readonly light?: 'even' | 'beam';
  /**
   * 'free' where the camera's curve is not known: the signal is then y^γ, y as below, and γ a parameter from 0.5 to 2. For
   * signals that are shares of full scale, dark signal and all, as `pictureProfile` gives them. Default 'known': γ is 1.
   */
  readonly exponent?: 'known' | 'free';
  /** Parameters that are known, in SI units, such as { blur: 0 } or { visibility: 1 } for a sharp pattern. */
  readonly fixed?: Partial<Record<SlitParameter, number>>;
  /** First guesses where the automatic ones fail, SI units. */
  readonly start?: Partial<Record<SlitParameter, number>>;
}

/** The last count that is ever tried. */
export const lastCount = 60;

/** Settings as the fit takes them. @throws RangeError for what is out of range, or does not go together */
export function checkOptions(options: SlitFitOptions) {
  const { wavelength, focalLength, count, maxCount, fixed = {}, blur, background } = options ?? {};
  const { exponent = 'known', light } = options ?? {};
  requirePositive('The wavelength', wavelength, 'give it in metres, such as nm(546.1)');
  if (focalLength !== undefined) {
    requirePositive(
      'The focal length',
      focalLength,
      'give it in metres, or leave it out when x is the direction sine',
    );
  }
  if (count !== undefined) requireWhole('count', count, 1, 200);
  if (maxCount !== undefined) requireWhole('maxCount', maxCount, 1, lastCount);
  if (blur !== undefined && !['box', 'gaussian', 'none'].includes(blur)) {
    throw new RangeError(
      `blur is ${JSON.stringify(blur)}: choose 'box', 'gaussian' or 'none', or leave it out and both are tried. A width that is known goes into fixed: { blur: … }.`,
    );
  }
  if (background !== undefined && background !== 'level' && background !== 'sloping') {
    throw new RangeError(
      `background is ${JSON.stringify(background)}: choose 'level' or 'sloping'. A value that is known goes into fixed: { background: … }.`,
    );
  }
  requireOneOf('exponent', exponent, ['known', 'free']);
  if (light !== undefined) requireOneOf('light', light, ['even', 'beam']);
  for (const [name, value] of Object.entries(fixed)) {
    if (!(slitParameters as readonly string[]).includes(name)) {
      throw new RangeError(
        `"${name}" cannot be fixed: the parameters are ${slitParameters.join(', ')}.`,
      );
    }
    if (value !== undefined) requireFinite(`fixed.${name}`, value);
  }
  const sharp = blur === 'none' || fixed.visibility !== undefined;
  if (sharp && (fixed.blur ?? 0) !== 0) {
    throw new RangeError(
      `The blur is fixed at ${fixed.blur} m, and ${blur === 'none' ? "blur: 'none' says that there is none" : 'the visibility is fixed, too'}: fix one of them, the other follows.`,
    );
  }
  if (fixed.visibility !== undefined && blur !== undefined && blur !== 'none') {
    throw new RangeError(
      `The visibility is fixed at ${fixed.visibility}, but with blur: '${blur}' it follows from the blur: fix the blur (its width on the screen, m), or leave one of them out.`,
    );
  }
  if ((fixed.slope ?? 0) !== 0 && background === 'level') {
    throw new RangeError(
      `The slope is fixed at ${fixed.slope}, but the background is said to be level: choose background: 'sloping'.`,
    );
  }
  const geometry: SlitGeometry = { wavelength, focalLength };
  const shapes: BlurShape[] = sharp
    ? []
    : blur === undefined
      ? ['box', 'gaussian']
      : [blur as BlurShape];
  const sloping = background === 'sloping' || fixed.slope !== undefined;
  return { geometry, fixed, shapes, sloping, bent: exponent === 'free', light };
}

/** Under this a fit keeps what it was fitted to. */
export const fittedTo: unique symbol = Symbol('fitted to');

export interface FittedTo {
  readonly profile: Profile;
  readonly geometry: SlitGeometry;
}

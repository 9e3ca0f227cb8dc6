import { requireOneOf, requirePositive } from '../numerics/require';
import type { Axis } from './chart';

/** What a pattern is drawn along. */
export interface AlongOptions {
  /**
   * `sine`: direction sine, in thousandths (the default); `degrees` or `milliradians`: the angle θ;
   * `film`: position on the film, which needs `focalLength`.
   */
  readonly along?: 'sine' | 'degrees' | 'milliradians' | 'film';
  /** Focal length of the camera lens, m. */
  readonly focalLength?: number;
  /** Angle of incidence θi, rad: s = sin θ − sin θi. Default 0. */
  readonly incidence?: number;
}

const titles: Record<NonNullable<AlongOptions['along']>, Axis> = {
  sine: { quantity: 'direction s = sin θ − sin θi', unit: '10⁻³' },
  degrees: { quantity: 'angle θ', unit: '°' },
  milliradians: { quantity: 'angle θ', unit: 'mrad' },
  film: { quantity: 'position on the film x', unit: 'mm' },
};

/** The axis for a pattern, and the place on it of a direction sine. */
export function alongAxis(options: AlongOptions): { axis: Axis; at: (s: number) => number } {
  const { along = 'sine', focalLength, incidence = 0 } = options;
  const axis = titles[requireOneOf('along', along, Object.keys(titles) as (typeof along)[])];
  const start = Math.sin(incidence);
  const angle = (s: number) => {
    const sine = s + start;
    if (Math.abs(sine) > 1) {
      throw new RangeError(
        `s = ${s} has no angle: sin θ would be ${sine}. Keep |s + sin θi| within 1, or draw along: 'sine'.`,
      );
    }
    return Math.asin(sine);
  };
  if (along === 'sine') {
    const quantity = incidence === 0 ? 'direction s = sin θ' : axis.quantity;
    return { axis: { ...axis, quantity }, at: (s) => s * 1e3 };
  }
  if (along === 'degrees') return { axis, at: (s) => (angle(s) * 180) / Math.PI };
  if (along === 'milliradians') return { axis, at: (s) => angle(s) * 1e3 };
  const lens = requirePositive(
    'focalLength',
    focalLength as number,
    "to draw along 'film' give that of the camera lens in metres, such as 0.3",
  );
  // The lens looks along the undeviated beam, so film positions count from there.
  return { axis, at: (s) => lens * Math.tan(angle(s) - incidence) * 1e3 };
}

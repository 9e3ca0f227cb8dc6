import { expect, test } from 'vitest';
import { slitsAt } from '../../kernel-lib/aperture/aperture';
import { nearField } from '../../kernel-lib/aperture/near-field';
// Made by aperture-near-fields.py, beside this file, with Debian's SciPy: by its Fresnel integrals, and by
// adaptive quadrature of the diffraction integral.
import reference from './aperture-near-fields.json';

function expectAll(ours: Float64Array, theirs: number[]) {
  const worst = Math.max(...theirs.map((value, i) => Math.abs(ours[i] - value)));
  expect(worst).toBeLessThan(1e-9);
}

test.each(reference.cases)(
  '$slits.length slits at $distance m, source at $sourceDistance m',
  (one) => {
    const aperture = slitsAt(
      one.slits.map(([centre, width, re, im]) => ({ centre, width, transmission: { re, im } })),
    );
    const options = { sourceDistance: one.sourceDistance ?? Infinity };
    const ours = nearField(aperture, one.wavelength, one.distance, one.x, options);
    expectAll(ours, one.fresnel);
    const few = nearField(aperture, one.wavelength, one.distance, one.few, options);
    expectAll(few, one.quadrature);
  },
);

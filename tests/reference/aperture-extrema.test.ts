import { expect, test } from 'vitest';
import { slitsAt } from '../../kernel-lib/aperture/aperture';
import { minima, principalMaxima, subsidiaryMaxima } from '../../kernel-lib/aperture/extrema';
// Made by aperture-extrema.py, beside this file, with SciPy's brentq on the slope of the summed field.
import reference from './aperture-extrema.json';

test.each(reference.cases)('$name: maxima and minima agree with SciPy to 1e-12', (one) => {
  const aperture = slitsAt(
    one.slits.map(([centre, width, transmission]) => ({ centre, width, transmission })),
  );
  const range = { from: one.from, to: one.to };
  const bright = [
    ...principalMaxima(aperture, one.wavelength, range),
    ...subsidiaryMaxima(aperture, one.wavelength, range),
  ].sort((a, b) => a.s - b.s);
  const dark = minima(aperture, one.wavelength, range);
  for (const [ours, theirs] of [
    [bright, one.maxima],
    [dark, one.minima],
  ] as const) {
    expect(ours).toHaveLength(theirs.length);
    theirs.forEach(([s, intensity], i) => {
      expect(Math.abs(ours[i].s - s)).toBeLessThan(1e-12);
      expect(Math.abs(ours[i].intensity - intensity)).toBeLessThan(1e-12);
    });
  }
});

import FFT from 'fft.js';
import { expect, test } from 'vitest';
import { amplitude } from '../../kernel-lib/aperture/amplitude';
import { slitsAt } from '../../kernel-lib/aperture/aperture';
import { intensity, intensityProfile } from '../../kernel-lib/aperture/intensity';
import { seeded } from '../../kernel-lib/numerics/random';

// fft.js 4.0.4. The transmission is drawn in cells of width h with every edge between two cells. Such a mask is
// its samples convolved with one cell, so F(u) = h sinc(πhu) · DFT, exact at the frequencies of the FFT.
const cells = 4096;
const h = 1e-6;
const wavelength = 632.8e-9;

function randomMask(seed: number) {
  const random = seeded(`far field ${seed}`);
  const places = [];
  let from = 500 + random.whole(200);
  for (let i = 0; i <= seed; i++) {
    const width = 1 + random.whole(120);
    const transmission =
      seed % 2 === 0 ? 0.2 + random.uniform() : { re: random.normal(), im: random.normal() };
    places.push({ from, width, transmission });
    from += width + random.whole(150);
  }
  return places;
}

test.each([0, 1, 2, 3, 4, 5, 8, 11])('random aperture %d agrees with an FFT to 1e-9', (seed) => {
  const mask = randomMask(seed);
  const input = new Float64Array(2 * cells);
  for (const { from, width, transmission } of mask) {
    const t = typeof transmission === 'number' ? { re: transmission, im: 0 } : transmission;
    for (let k = from; k < from + width; k++) input.set([t.re, t.im], 2 * k);
  }
  const fft = new FFT(cells);
  const output = fft.createComplexArray();
  fft.transform(output, input);

  // Sample k stands at the middle of its cell; the origin is put into the middle of the first one.
  const aperture = slitsAt(
    mask.map(({ from, width, transmission }) => ({
      centre: (from + (width - 1) / 2) * h,
      width: width * h,
      transmission,
    })),
  );
  const at = (k: number) => {
    const y = (Math.PI * k) / cells;
    const cell = h * (k === 0 ? 1 : Math.sin(y) / y);
    return { re: cell * output[2 * k], im: cell * output[2 * k + 1] };
  };
  const ahead = at(0).re ** 2 + at(0).im ** 2;
  const s = Float64Array.from({ length: cells / 2 }, (_, k) => (k / (cells * h)) * wavelength);
  const profile = intensityProfile(aperture, wavelength, s);
  let [worst, largest] = [0, 0];
  for (let k = 0; k < cells / 2; k++) {
    const { re, im } = at(k);
    const F = amplitude(aperture, wavelength, s[k]);
    const expected = (re * re + im * im) / ahead;
    largest = Math.max(largest, expected);
    worst = Math.max(worst, Math.hypot(F.re - re, F.im - im) / Math.sqrt(ahead));
    worst = Math.max(worst, Math.abs(intensity(aperture, wavelength, s[k]) - expected));
    worst = Math.max(worst, Math.abs(profile[k] - expected));
  }
  expect(worst / largest).toBeLessThan(1e-9);
});

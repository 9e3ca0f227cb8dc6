import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { pictureProfile } from '../../../kernel-lib/fitting/picture/picture-profile';
import { readPicture } from '../../../kernel-lib/fitting/picture/read-picture';
import { fitSlits } from '../../../kernel-lib/fitting/slits/fit-slits';
import { encodePicture, slitPicture } from '../../../kernel-lib/fitting/slits/slit-picture';
import { seeded } from '../../../kernel-lib/numerics/random';
import { threeSlits, threeSlitsPicture } from '../three-slits';

const geometry = { wavelength: threeSlits.wavelength, focalLength: threeSlits.focalLength };
const photograph = new Uint8Array(
  readFileSync(new URL('../../../data/three-slits.png', import.meta.url)),
);

const values = (bytes: Uint8Array) => {
  const list: number[] = [];
  readPicture(bytes).each((row) => {
    for (let i = 0; i < row.length; i++) list.push(row[i]);
  });
  return list;
};

describe('data/three-slits.png, the computed photograph', () => {
  test('is what its script computes, to one step in a few pixels of ten thousand', () => {
    expect(photograph.length).toBeLessThan(500_000);
    const [kept, made] = [values(photograph), values(threeSlitsPicture())];
    expect(kept.length).toBe(made.length);
    let different = 0;
    let largest = 0;
    for (let i = 0; i < kept.length; i++) {
      if (kept[i] !== made[i]) different++;
      largest = Math.max(largest, Math.abs(kept[i] - made[i]));
    }
    expect(largest).toBeLessThanOrEqual(1);
    expect(different).toBeLessThan(kept.length / 2000);
  });

  test('gives three slits, 40 µm wide and 100 µm apart, with nothing told but scale and band', () => {
    const profile = pictureProfile(photograph, {
      pixel: 20e-6,
      band: { from: 80, to: 140 },
      vignetting: 0.15,
    });
    expect(Math.abs(profile.tilt - threeSlits.tilt)).toBeLessThan(0.004);
    const fit = fitSlits(profile, geometry);
    expect(fit.count).toBe(3);
    expect(fit.converged).toBe(true);
    // Half a percent: the tilt that is found and 8-bit steps matter more than the noise here.
    expect(Math.abs(fit.width.value / 40e-6 - 1)).toBeLessThan(5e-3);
    expect(Math.abs(fit.spacing.value / 100e-6 - 1)).toBeLessThan(1e-3);
    expect(fit.visibility.value).toBeCloseTo(0.9, 2);
    expect(fit.reducedChiSquare).toBeLessThan(1.5);
  });

  test('its green channel is saturated in the middle; that is masked, and the rest still gives the slits', () => {
    const profile = pictureProfile(photograph, {
      pixel: 20e-6,
      band: { from: 80, to: 140 },
      channel: 'green',
      vignetting: 0.15,
    });
    const full = profile.saturated.reduce((a, b) => a + b, 0);
    expect(full).toBeGreaterThan(30);
    expect(full).toBeLessThan(profile.x.length / 3);
    const fit = fitSlits(profile, geometry);
    expect(fit.count).toBe(3);
    expect(Math.abs(fit.spacing.value / 100e-6 - 1)).toBeLessThan(3e-3);
    expect(Math.abs(fit.width.value / 40e-6 - 1)).toBeLessThan(2e-2);
    expect(fit.amplitude.value).toBeGreaterThan(1.2);
  });

  test('without a band the lit stripe is found; the brightest unsaturated channel is taken', () => {
    const profile = pictureProfile(photograph, { pixel: 20e-6, vignetting: 0.15 });
    expect(profile.channel).toBe('red');
    // The camera was turned by 0.03 about the middle, row 109.5; the stripe is 0.6 of 220 rows tall.
    const { from, to, width } = profile.line;
    expect(Math.atan2(to.y - from.y, to.x - from.x)).toBeCloseTo(threeSlits.tilt, 2);
    const middle = from.y + ((359.5 - from.x) / (to.x - from.x)) * (to.y - from.y);
    expect(Math.abs(middle - 109.5)).toBeLessThan(3);
    expect(Math.abs(width / 132 - 1)).toBeLessThan(0.2);
    const fit = fitSlits(profile, geometry);
    expect(fit.count).toBe(3);
    expect(Math.abs(fit.width.value / 40e-6 - 1)).toBeLessThan(1e-2);
    expect(Math.abs(fit.spacing.value / 100e-6 - 1)).toBeLessThan(3e-3);
    expect([profile.kind, profile.width, profile.height]).toEqual(['PNG', 720, 220]);
  });
});

describe('round trip through small pictures', () => {
  const camera = { ...threeSlits, width: 240, height: 40, pixel: 60e-6, tilt: 0.02, exposure: 0.8 };
  const setting = { ...camera, vignetting: 0, litHeight: 1, background: 0.02, colour: undefined };

  test('200 seeds: within 1 u in about 68 %, within 2 u in about 95 %', () => {
    const start = {
      width: 42e-6,
      spacing: 99e-6,
      amplitude: 0.75,
      background: 0.02,
      visibility: 0.85,
      centre: 7.2e-3,
    };
    const hits = { width: [0, 0], spacing: [0, 0] };
    const truth = { width: 40e-6, spacing: 100e-6 };
    for (let k = 0; k < 200; k++) {
      const bytes = encodePicture(slitPicture(seeded(`picture ${k}`), setting));
      const profile = pictureProfile(bytes, {
        pixel: 60e-6,
        tilt: 0.02,
        band: { from: 0, to: 40 },
      });
      const fit = fitSlits(profile, { ...geometry, count: 3, start });
      for (const name of ['width', 'spacing'] as const) {
        const off = Math.abs(fit[name].value - truth[name]) / fit[name].u;
        if (off < 1) hits[name][0]++;
        if (off < 2) hits[name][1]++;
      }
    }
    // Binomial: 136.5 ± 6.6 and 190.9 ± 2.9 of 200; three standard deviations.
    for (const [one, two] of Object.values(hits)) {
      expect(Math.abs(one - 136.5)).toBeLessThan(20);
      expect(Math.abs(two - 190.9)).toBeLessThan(9);
    }
  }, 240_000);

  test.each([-0.12, -0.03, 0, 0.05, 0.15])('a tilt of %f rad is found', (tilt) => {
    const picture = slitPicture(seeded(`tilt ${tilt}`), { ...setting, tilt, height: 120 });
    const profile = pictureProfile(encodePicture(picture), {
      pixel: 60e-6,
      band: { from: 10, to: 110 },
    });
    expect(Math.abs(profile.tilt - tilt)).toBeLessThan(0.003);
  });

  test('along y: the picture on its side gives the same profile', () => {
    const picture = slitPicture(seeded('side'), { ...setting, tilt: 0 });
    const turned = new Uint8Array(picture.data.length);
    for (let y = 0; y < 40; y++)
      for (let x = 0; x < 240; x++) turned[x * 40 + y] = picture.data[y * 240 + x];
    const options = { pixel: 1, band: { from: 5, to: 35 }, tilt: 0 } as const;
    const side = { width: 40, height: 240, channels: 1, data: turned } as const;
    const a = pictureProfile(encodePicture(picture), options);
    const b = pictureProfile(encodePicture(side), { ...options, axis: 'y' });
    expect(b.y).toEqual(a.y);
  });
});

describe('what cannot be measured', () => {
  const flat = (level: number) =>
    encodePicture({ width: 60, height: 20, channels: 1, data: new Uint8Array(1200).fill(level) });
  test('a picture that is all saturated', () => {
    expect(() => pictureProfile(flat(255), { pixel: 1e-6 })).toThrow(/saturated/);
  });
  test('a picture without a pattern: the fit says so', () => {
    const profile = pictureProfile(flat(90), { pixel: 1e-6 });
    expect(() => fitSlits(profile, geometry)).toThrow(/constant/);
  });
});

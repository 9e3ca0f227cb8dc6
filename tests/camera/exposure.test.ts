import { describe, expect, test } from 'vitest';
import { slits } from '../../kernel-lib/aperture/aperture';
import type { FilmStrip } from '../../kernel-lib/camera/film';
import { filmStrip } from '../../kernel-lib/camera/film-strip';
import type { FilmStripOptions } from '../../kernel-lib/camera/strip-options';
import { filtered, passband } from '../../kernel-lib/light/filtered';
import { illuminant } from '../../kernel-lib/light/illuminant';
import { lamp, laser } from '../../kernel-lib/light/lamp';
import type { Light } from '../../kernel-lib/light/light';
import { sunlight } from '../../kernel-lib/light/sunlight';

/** The level, 0…255, at which a screen gives this share of its light: the curve of IEC 61966-2-1, from memory. */
const levelOf = (light: number) =>
  255 * (light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055);

const three = slits(3, { width: 40e-6, spacing: 100e-6 });
const lights: [string, Light][] = [
  ['red laser', laser(632.8e-9)],
  ['blue laser', laser(445e-9)],
  ['green filter', filtered(sunlight(), passband(546e-9, 10e-9))],
  ['red filter', filtered(sunlight(), passband(650e-9, 40e-9))],
  ['sodium', lamp('sodium')],
  ['mercury', lamp('mercury')],
  ['sunlight', sunlight()],
  ['filament', illuminant('A')],
];

const strongest = ({ srgb }: FilmStrip, i: number) => Math.max(...srgb.slice(3 * i, 3 * i + 3));
const strip = (light: Light, options: FilmStripOptions = {}, aperture = three) =>
  filmStrip(aperture, light, { points: 1201, span: 0.052, ...options });

describe.each(lights)('%s: the exposure is the middle’s strongest channel', (_, light) => {
  test.each([0.02, 0.2, 0.5, 1])('%f of what the film can show', (exposure) => {
    const { srgb } = strip(light, { exposure });
    expect(Math.abs(Math.max(...srgb.slice(1800, 1803)) - levelOf(exposure))).toBeLessThan(0.6);
  });

  test('twice as long as fills it, it is burnt out there and not where half as much falls', () => {
    const { xyz, burntOut } = strip(light, { exposure: 2 });
    expect(burntOut[600]).toBe(1);
    expect(strip(light).burntOut.some(Boolean)).toBe(false);
    for (let i = 0; i < 1201; i++) {
      // Of one colour, where the brightness says it all.
      if (light.continuum && !light.name.includes('passband')) break;
      if (light.lines && light.lines.length > 2) break;
      if (Math.abs(xyz[3 * i + 1] - 0.5) > 0.01)
        expect([i, burntOut[i]]).toEqual([i, xyz[3 * i + 1] > 0.5 ? 1 : 0]);
    }
  });
});

describe('weak looks weak at the exposure that is taken unless another is told', () => {
  // The subsidiary maximum of three slits (common practice, no source): 1/9 of the middle where the
  // three waves are +, −, +, times one slit's own pattern, sinc²(a s/λ) with a s/λ = 0.4 · 0.5.
  const one = (Math.sin(0.2 * Math.PI) / (0.2 * Math.PI)) ** 2;
  const weak = one / 9;

  test('9.7 % beside 100 %: painted at 9.7 % of the screen’s light, a third of its levels', () => {
    expect(weak).toBeCloseTo(0.097, 3);
    const red = laser(632.8e-9);
    const s = 632.8e-9 / 2 / 100e-6;
    const made = strip(red, { span: 2 * Math.tan(Math.asin(s)), points: 3 });
    expect(Math.abs(strongest(made, 1) - 255)).toBeLessThan(0.5);
    expect(Math.abs(strongest(made, 2) - levelOf(weak))).toBeLessThan(0.6);
    expect(strongest(made, 2)).toBeLessThan(0.36 * 255);
  });

  test('the side maximum of one slit, 4.7 % (common practice, no source), in any colour', () => {
    for (const light of [laser(632.8e-9), laser(532e-9), laser(445e-9)]) {
      const [wavelength] = light.lines!.map((line) => line.wavelength);
      // The maximum beside the middle stands at 1.4303 of the first minimum.
      const s = (1.4303 * wavelength) / 40e-6;
      const made = strip(
        light,
        { span: 2 * Math.tan(Math.asin(s)), points: 3 },
        slits(1, { width: 40e-6 }),
      );
      expect(Math.abs(strongest(made, 2) - levelOf(0.0472))).toBeLessThan(0.6);
    }
  });

  test('nothing is burnt out, and the sentence says nothing of it; longer, it says from where to where', () => {
    const red = laser(632.8e-9);
    expect(strip(red).alt).not.toContain('burnt out');
    // Of three slits the middle falls to 1/4 where 1 + 2 cos φ = 3/2, φ = 1.318 rad: s = 1.318 λ/(2π d)
    // = 1.327 mm at f = 1 m, the pattern of one slit (0.977 there) left out.
    expect(strip(red, { exposure: 4 }).alt).toMatch(/burnt out from .*from −1\.3 to 1\.3 mm, from/);
  });
});

test('with a wide source slit too the middle just fills the film, and is not called burnt out', () => {
  for (const [, light] of lights)
    for (const sourceWidth of [50e-6, 300e-6]) {
      const made = strip(light, { sourceWidth, focalLength: 0.3, span: 16e-3 });
      expect(Math.abs(strongest(made, 600) - 255)).toBeLessThan(0.6);
      expect(made.burntOut[600]).toBe(0);
    }
});

test('the middle is one of the positions unless another number is told', () => {
  const { positions } = filmStrip(three, sunlight());
  expect(positions.length % 2).toBe(1);
  expect(positions[(positions.length - 1) / 2]).toBe(0);
});

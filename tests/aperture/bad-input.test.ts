import { expect, test } from 'vitest';
import { amplitude } from '../../kernel-lib/aperture/amplitude';
import { slits, slitsAt } from '../../kernel-lib/aperture/aperture';
import { diffractionAngle, directionSine } from '../../kernel-lib/aperture/direction';
import { minima, principalMaxima, subsidiaryMaxima } from '../../kernel-lib/aperture/extrema';
import {
  blocked,
  withRulingErrors,
  withTransmissions,
  withWidths,
} from '../../kernel-lib/aperture/imperfect';
import { intensity, intensityProfile } from '../../kernel-lib/aperture/intensity';
import { fresnelNumber, nearField } from '../../kernel-lib/aperture/near-field';
import {
  angularDispersion,
  freeSpectralRange,
  halfWidth,
  missingOrders,
  orderOverlap,
  resolvingPower,
} from '../../kernel-lib/aperture/orders';
import { phasors } from '../../kernel-lib/aperture/phasors';
import { visibility } from '../../kernel-lib/aperture/visibility';

const two = slits(2, { width: 2e-6, spacing: 6e-6 });
const fifty = slits(50, { width: 2e-6, spacing: 6e-6 });
const opposite = withTransmissions(two, [1, -1]);
const nm = 1e-9;
// biome-ignore lint/suspicious/noExplicitAny: students pass what they like
const any = (value: unknown) => value as any;

/** What is done, words that must be in the error (the value given, what is allowed, the mend), its class if not RangeError. */
const table: [string, () => unknown, RegExp, typeof TypeError?][] = [
  ['zero width', () => slits(1, { width: 0 }), /slit width.*greater than 0.*0 was given.*metres/],
  ['negative width', () => slits(1, { width: -1e-6 }), /greater than 0.*-0.000001/],
  ['width NaN', () => slits(1, { width: Number.NaN }), /finite.*NaN/],
  ['width as text', () => slits(1, { width: any('40 µm') }), /number.*"40 µm"/, TypeError],
  ['no measures', () => slits(2, any(undefined)), /\{ width, spacing \}/, TypeError],
  ['no spacing', () => slits(2, { width: 1e-6 }), /2 slits need a spacing/, TypeError],
  ['no slits', () => slits(0, { width: 1e-6 }), /whole number from 1.*0 was given/],
  ['half a slit', () => slits(1.5, { width: 1e-6 }), /whole number.*1\.5/],
  ['overlap', () => slits(2, { width: 3e-6, spacing: 2e-6 }), /overlap.*0\.000002.*narrower/],
  [
    'overlap in a list',
    () =>
      slitsAt([
        { centre: 0, width: 2e-6 },
        { centre: 1e-6, width: 2e-6 },
      ]),
    /overlap by/,
  ],
  ['an empty list', () => slitsAt([]), /at least one slit.*list of 0/],
  [
    'centre missing',
    () => slitsAt([any({ width: 1e-6 })]),
    /centre of slit 0.*undefined/,
    TypeError,
  ],
  [
    'transmission as text',
    () => slitsAt([{ centre: 0, width: 1e-6, transmission: any('½') }]),
    /transmission of slit 0/,
    TypeError,
  ],
  [
    'not an aperture',
    () => intensity(any({}), 500 * nm, 0),
    /aperture was expected.*an object.*slits\(/,
    TypeError,
  ],
  [
    'aperture NaN',
    () =>
      intensity(any({ slits: [{ centre: 0, width: Number.NaN, transmission: 1 }] }), 500 * nm, 0),
    /width of slit 0/,
  ],
  ['wavelength in nm', () => intensity(two, 550, 0), /metres.*550 was given.*550e-9/],
  ['wavelength 0', () => minima(two, 0), /wavelength.*greater than 0/],
  ['wavelength as text', () => phasors(two, any('red'), 0), /wavelength.*"red"/, TypeError],
  ['s NaN', () => intensity(two, 500 * nm, Number.NaN), /direction sine.*NaN/],
  ['s as text', () => amplitude(two, 500 * nm, any('0.1')), /direction sine.*"0.1"/, TypeError],
  // No angle has a sine beyond ±1, so sin θ − sin θi has −2 and 2 for its ends: sin 90° − sin(−90°) = 2.
  ['degrees for s', () => intensity(two, 500 * nm, 30), /s = 30.*−2 to 2.*degrees/],
  ['millimetres for s', () => amplitude(two, 500 * nm, -12.5), /s = -12\.5.*screen/],
  ['phasors beyond 2', () => phasors(two, 500 * nm, 2.001), /−2 to 2/],
  ['a profile in degrees', () => intensityProfile(two, 500 * nm, [0, 3]), /s = 3/],
  [
    'a long even profile in degrees',
    () =>
      intensityProfile(
        two,
        500 * nm,
        Array.from({ length: 99 }, (_, i) => i - 40),
      ),
    /s = -40/,
  ],
  [
    'a long even profile that ends beyond 2',
    () =>
      intensityProfile(
        two,
        500 * nm,
        Array.from({ length: 99 }, (_, i) => i / 40),
      ),
    /s = 2\.45/,
  ],
  ['a range in degrees', () => minima(two, 500 * nm, { from: -5, to: 1 }), /s = -5/],
  ['a range up to 90', () => principalMaxima(two, 500 * nm, { to: 90 }), /s = 90/],
  ['NaN in a profile', () => intensityProfile(two, 500 * nm, [0, Number.NaN]), /NaN/],
  [
    'NaN in a long profile',
    () =>
      intensityProfile(
        two,
        500 * nm,
        Array.from({ length: 99 }, (_, i) => (i === 50 ? Number.NaN : i / 1e3)),
      ),
    /NaN/,
  ],
  [
    'profile of a number',
    () => intensityProfile(two, 500 * nm, any(0.1)),
    /s must be a list of numbers, but 0\.1.*use intensity/,
    TypeError,
  ],
  ['cancelled ahead', () => intensity(opposite, 500 * nm, 0.1), /cancel.*s = 0.*amplitude\(\)/],
  [
    'range upside down',
    () => principalMaxima(two, 500 * nm, { from: 1, to: 0 }),
    /from 1 to 0.*exchange/,
  ],
  ['range NaN', () => subsidiaryMaxima(two, 500 * nm, { to: Number.NaN }), /upper end.*NaN/],
  ['a range without end', () => minima(slits(1, { width: 0.9 }), 400 * nm), /narrow it/],
  ['missing orders of nothing', () => missingOrders(any(null), 500 * nm), /null/, TypeError],
  ['largest s NaN', () => missingOrders(two, 500 * nm, Number.NaN), /largest/],
  ['|s| over 1', () => diffractionAngle(1.2), /s = 1\.2.*-?1 to 1/],
  ['|s + sin θi| over 1', () => diffractionAngle(0.8, 0.5), /1\.279/],
  ['an angle in degrees', () => directionSine(30), /π\/2.*30.*degrees/],
  ['resolving power of order 0', () => resolvingPower(0, 100), /order 0 is white/],
  ['resolving power of one slit', () => resolvingPower(1, 1), /from 2/],
  ['order 1.5', () => freeSpectralRange(1.5, 500 * nm), /whole number.*1\.5/],
  [
    'an order that does not exist',
    () => angularDispersion(3, 500 * nm, 1.2e-6),
    /Order 3 does not exist.*1\.25.*lower order/,
  ],
  [
    'half-width of an order that does not exist',
    () => halfWidth(-3, 10, 500 * nm, 1.2e-6),
    /Order -3 does not exist/,
  ],
  ['an order along the grating', () => halfWidth(2, 10, 500 * nm, 1e-6), /90°/],
  ['a spectrum from red to blue', () => orderOverlap(1, 700 * nm, 400 * nm), /exchange/],
  ['distance 0', () => nearField(two, 500 * nm, 0, [0]), /distance.*greater than 0/],
  [
    'a source behind',
    () => nearField(two, 500 * nm, 1, [0], { sourceDistance: -1 }),
    /source distance/,
  ],
  ['place NaN', () => nearField(two, 500 * nm, 1, [0, Number.NaN]), /x\[1\].*NaN/],
  ['Fresnel number at 0', () => fresnelNumber(two, 500 * nm, 0), /distance/],
  ['no profile', () => visibility([]), /at least 1 value.*at least one fringe/],
  ['a profile that is a number', () => visibility(any(1)), /list of numbers, but 1/, TypeError],
  [
    'a place instead of a list',
    () => nearField(two, 500 * nm, 1, any(0)),
    /x must be a list.*\[0, 1e-3\]/,
    TypeError,
  ],
  [
    'a range as a list',
    () => minima(two, 500 * nm, any([0, 1])),
    /\{ from: 0, to: 0\.1 \}, but a list of 2/,
    TypeError,
  ],
  ['a range as a number', () => minima(two, 500 * nm, any(0.1)), /from: 0/, TypeError],
  ['negative intensity', () => visibility([1, -1]), /negative.*-1/],
  ['a dark profile', () => visibility([0, 0]), /All intensities are 0/],
  ['blocked slit not there', () => blocked(two, 2), /from 0 to 1.*2 was given/],
  ['the only slit blocked', () => blocked(slits(1, { width: 1e-6 }), 0), /only slit/],
  ['three widths for two', () => withWidths(two, [1e-6, 1e-6, 1e-6]), /2 widths.*list of 3/],
  ['widths that overlap', () => withWidths(two, [7e-6, 7e-6]), /overlap/],
  [
    'errors that overlap',
    () => withRulingErrors(fifty, { seed: 1, periodic: { amplitude: 4.5e-6, period: 4 } }),
    /overlap/,
  ],
  [
    'errors that exchange slits',
    () => withRulingErrors(fifty, { seed: 1, place: 1e-3 }),
    /change places.*smaller than the spacing/,
  ],
  ['negative deviation', () => withRulingErrors(two, { seed: 1, place: -1e-9 }), /negative/],
  ['no seed', () => withRulingErrors(two, any({ place: 1e-9 })), /seed/, TypeError],
  [
    'a transmission of NaN',
    () => slitsAt([{ centre: 0, width: 1, transmission: { re: 1, im: Number.NaN } }]),
    /imaginary part of the transmission of slit 0/,
  ],
  ['a hole in a list', () => slitsAt([any(null)]), /centre of slit 0/, TypeError],
  ['an oblique angle in degrees', () => diffractionAngle(0, 1.6), /incidence must lie/],
  ['a screen at infinity', () => nearField(two, 500 * nm, Infinity, [0]), /distance.*finite/],
  [
    'a source at −∞',
    () => nearField(two, 500 * nm, 1, [0], { sourceDistance: -Infinity }),
    /source distance.*finite/,
  ],
  ['a near field in nm', () => nearField(two, 500, 1, [0]), /wavelength/],
];

test.each(table)('%s', (_, act, words, kind = RangeError) => {
  expect(act).toThrow(kind);
  expect(act).toThrow(words);
});

test('grazing in, grazing out: s = 2 is still a direction, also where rounding carries it over', () => {
  for (const s of [2, -2, 2 + 1e-15, -2 - 1e-15]) {
    expect(intensity(two, 500 * nm, s)).toBeGreaterThanOrEqual(0);
    expect(intensityProfile(two, 500 * nm, [s])).toHaveLength(1);
    expect(phasors(two, 500 * nm, s)).toHaveLength(2);
  }
  expect(minima(two, 500 * nm, { from: -2, to: 2 }).length).toBeGreaterThan(0);
});

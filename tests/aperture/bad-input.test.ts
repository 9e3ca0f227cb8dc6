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

/** What is done, the error's class, and words that must be in it: the value given, what is allowed, the mend. */
const table: [string, () => unknown, typeof RangeError | typeof TypeError, RegExp][] = [
  [
    'zero width',
    () => slits(1, { width: 0 }),
    RangeError,
    /slit width.*greater than 0.*0 was given.*metres/,
  ],
  ['negative width', () => slits(1, { width: -1e-6 }), RangeError, /greater than 0.*-0.000001/],
  ['width NaN', () => slits(1, { width: Number.NaN }), RangeError, /finite.*NaN/],
  ['width as text', () => slits(1, { width: any('40 µm') }), TypeError, /number.*"40 µm"/],
  ['no measures', () => slits(2, any(undefined)), TypeError, /\{ width, spacing \}/],
  ['no spacing', () => slits(2, { width: 1e-6 }), TypeError, /2 slits need a spacing/],
  ['no slits', () => slits(0, { width: 1e-6 }), RangeError, /whole number from 1.*0 was given/],
  ['half a slit', () => slits(1.5, { width: 1e-6 }), RangeError, /whole number.*1\.5/],
  [
    'overlap',
    () => slits(2, { width: 3e-6, spacing: 2e-6 }),
    RangeError,
    /overlap.*0\.000002.*narrower/,
  ],
  [
    'overlap in a list',
    () =>
      slitsAt([
        { centre: 0, width: 2e-6 },
        { centre: 1e-6, width: 2e-6 },
      ]),
    RangeError,
    /overlap by/,
  ],
  ['an empty list', () => slitsAt([]), RangeError, /at least one slit.*list of 0/],
  [
    'centre missing',
    () => slitsAt([any({ width: 1e-6 })]),
    TypeError,
    /centre of slit 0.*undefined/,
  ],
  [
    'transmission as text',
    () => slitsAt([{ centre: 0, width: 1e-6, transmission: any('½') }]),
    TypeError,
    /transmission of slit 0/,
  ],
  [
    'not an aperture',
    () => intensity(any({}), 500 * nm, 0),
    TypeError,
    /aperture was expected.*an object.*slits\(/,
  ],
  [
    'aperture NaN',
    () =>
      intensity(any({ slits: [{ centre: 0, width: Number.NaN, transmission: 1 }] }), 500 * nm, 0),
    RangeError,
    /width of slit 0/,
  ],
  ['wavelength in nm', () => intensity(two, 550, 0), RangeError, /metres.*550 was given.*550e-9/],
  ['wavelength 0', () => minima(two, 0), RangeError, /wavelength.*greater than 0/],
  ['wavelength as text', () => phasors(two, any('red'), 0), TypeError, /wavelength.*"red"/],
  ['s NaN', () => intensity(two, 500 * nm, Number.NaN), RangeError, /direction sine.*NaN/],
  ['s as text', () => amplitude(two, 500 * nm, any('0.1')), TypeError, /direction sine.*"0.1"/],
  // No angle has a sine beyond ±1, so sin θ − sin θi has −2 and 2 for its ends: sin 90° − sin(−90°) = 2.
  ['degrees for s', () => intensity(two, 500 * nm, 30), RangeError, /s = 30.*−2 to 2.*degrees/],
  ['millimetres for s', () => amplitude(two, 500 * nm, -12.5), RangeError, /s = -12\.5.*screen/],
  ['phasors beyond 2', () => phasors(two, 500 * nm, 2.001), RangeError, /−2 to 2/],
  ['a profile in degrees', () => intensityProfile(two, 500 * nm, [0, 3]), RangeError, /s = 3/],
  [
    'a long even profile in degrees',
    () =>
      intensityProfile(
        two,
        500 * nm,
        Array.from({ length: 99 }, (_, i) => i - 40),
      ),
    RangeError,
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
    RangeError,
    /s = 2\.45/,
  ],
  ['a range in degrees', () => minima(two, 500 * nm, { from: -5, to: 1 }), RangeError, /s = -5/],
  ['a range up to 90', () => principalMaxima(two, 500 * nm, { to: 90 }), RangeError, /s = 90/],
  ['NaN in a profile', () => intensityProfile(two, 500 * nm, [0, Number.NaN]), RangeError, /NaN/],
  [
    'NaN in a long profile',
    () =>
      intensityProfile(
        two,
        500 * nm,
        Array.from({ length: 99 }, (_, i) => (i === 50 ? Number.NaN : i / 1e3)),
      ),
    RangeError,
    /NaN/,
  ],
  [
    'profile of a number',
    () => intensityProfile(two, 500 * nm, any(0.1)),
    TypeError,
    /s must be a list of numbers, but 0\.1.*use intensity/,
  ],
  [
    'cancelled ahead',
    () => intensity(opposite, 500 * nm, 0.1),
    RangeError,
    /cancel.*s = 0.*amplitude\(\)/,
  ],
  [
    'range upside down',
    () => principalMaxima(two, 500 * nm, { from: 1, to: 0 }),
    RangeError,
    /from 1 to 0.*exchange/,
  ],
  [
    'range NaN',
    () => subsidiaryMaxima(two, 500 * nm, { to: Number.NaN }),
    RangeError,
    /upper end.*NaN/,
  ],
  [
    'a range without end',
    () => minima(slits(1, { width: 0.9 }), 400 * nm),
    RangeError,
    /narrow it/,
  ],
  ['missing orders of nothing', () => missingOrders(any(null), 500 * nm), TypeError, /null/],
  ['largest s NaN', () => missingOrders(two, 500 * nm, Number.NaN), RangeError, /largest/],
  ['|s| over 1', () => diffractionAngle(1.2), RangeError, /s = 1\.2.*-?1 to 1/],
  ['|s + sin θi| over 1', () => diffractionAngle(0.8, 0.5), RangeError, /1\.279/],
  ['an angle in degrees', () => directionSine(30), RangeError, /π\/2.*30.*degrees/],
  ['resolving power of order 0', () => resolvingPower(0, 100), RangeError, /order 0 is white/],
  ['resolving power of one slit', () => resolvingPower(1, 1), RangeError, /from 2/],
  ['order 1.5', () => freeSpectralRange(1.5, 500 * nm), RangeError, /whole number.*1\.5/],
  [
    'an order that does not exist',
    () => angularDispersion(3, 500 * nm, 1.2e-6),
    RangeError,
    /Order 3 does not exist.*1\.25.*lower order/,
  ],
  [
    'half-width of an order that does not exist',
    () => halfWidth(-3, 10, 500 * nm, 1.2e-6),
    RangeError,
    /Order -3 does not exist/,
  ],
  ['an order along the grating', () => halfWidth(2, 10, 500 * nm, 1e-6), RangeError, /90°/],
  [
    'a spectrum from red to blue',
    () => orderOverlap(1, 700 * nm, 400 * nm),
    RangeError,
    /exchange/,
  ],
  ['distance 0', () => nearField(two, 500 * nm, 0, [0]), RangeError, /distance.*greater than 0/],
  [
    'a source behind',
    () => nearField(two, 500 * nm, 1, [0], { sourceDistance: -1 }),
    RangeError,
    /source distance/,
  ],
  ['place NaN', () => nearField(two, 500 * nm, 1, [0, Number.NaN]), RangeError, /x\[1\].*NaN/],
  ['Fresnel number at 0', () => fresnelNumber(two, 500 * nm, 0), RangeError, /distance/],
  ['no profile', () => visibility([]), RangeError, /at least 1 value.*at least one fringe/],
  ['a profile that is a number', () => visibility(any(1)), TypeError, /list of numbers, but 1/],
  [
    'a place instead of a list',
    () => nearField(two, 500 * nm, 1, any(0)),
    TypeError,
    /x must be a list.*\[0, 1e-3\]/,
  ],
  [
    'a range as a list',
    () => minima(two, 500 * nm, any([0, 1])),
    TypeError,
    /\{ from: 0, to: 0\.1 \}, but a list of 2/,
  ],
  ['a range as a number', () => minima(two, 500 * nm, any(0.1)), TypeError, /from: 0/],
  ['negative intensity', () => visibility([1, -1]), RangeError, /negative.*-1/],
  ['a dark profile', () => visibility([0, 0]), RangeError, /All intensities are 0/],
  ['blocked slit not there', () => blocked(two, 2), RangeError, /from 0 to 1.*2 was given/],
  ['the only slit blocked', () => blocked(slits(1, { width: 1e-6 }), 0), RangeError, /only slit/],
  [
    'three widths for two',
    () => withWidths(two, [1e-6, 1e-6, 1e-6]),
    RangeError,
    /2 widths.*list of 3/,
  ],
  ['widths that overlap', () => withWidths(two, [7e-6, 7e-6]), RangeError, /overlap/],
  [
    'errors that overlap',
    () => withRulingErrors(fifty, { seed: 1, periodic: { amplitude: 4.5e-6, period: 4 } }),
    RangeError,
    /overlap/,
  ],
  [
    'errors that exchange slits',
    () => withRulingErrors(fifty, { seed: 1, place: 1e-3 }),
    RangeError,
    /change places.*smaller than the spacing/,
  ],
  [
    'negative deviation',
    () => withRulingErrors(two, { seed: 1, place: -1e-9 }),
    RangeError,
    /negative/,
  ],
  ['no seed', () => withRulingErrors(two, any({ place: 1e-9 })), TypeError, /seed/],
];

test.each(table)('%s', (_, act, kind, words) => {
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

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { MOST_PINS, readAddress, writeAddress } from '../../kernel-lib/figures/bench/address';
import { changed } from '../../kernel-lib/figures/bench/change';
import { startSetting } from '../../kernel-lib/figures/bench/setting';
import { settings } from './settings';

const pinParts = (address: string) => address.split('&').filter((part) => part.startsWith('pin='));

describe('strips to compare in a link', () => {
  test('come back to the last digit and in their order, whatever is set', () => {
    fc.assert(
      fc.property(settings, fc.array(settings, { maxLength: 4 }), (setting, pins) => {
        const read = readAddress(`#${writeAddress(setting, pins)}`);
        expect(read).toEqual({ setting, pins, faults: [] });
      }),
      { seed: 20261126, numRuns: 60 },
    );
  });

  test('hold only what differs from the setting', () => {
    const pins = [1, 2, 20].map((slits) => changed(startSetting, { slits }));
    const wide = changed(startSetting, { slits: 2, width: 60e-6, light: 'sodium' });
    expect(pinParts(writeAddress(startSetting, [...pins, wide, startSetting]))).toEqual([
      'pin=slits:1',
      'pin=slits:2',
      'pin=slits:20',
      expect.stringMatching(/^pin=light:sodium,slits:2,width:60um,reading:58\d(\.\d+)?nm$/),
      'pin=',
    ]);
  });

  test('pass a mail program that writes the signs as numbers', () => {
    const { pins, faults } = readAddress('#slits=3&pin=slits%3A2%2Cwidth%3A20um');
    expect(faults).toEqual([]);
    expect(pins).toEqual([changed(startSetting, { slits: 2, width: 20e-6 })]);
  });

  test.each([
    ['slits:999', /^Strip 1 to compare is left out\. Number of slits goes from 1 to 50/],
    ['width:far', /^Strip 1 to compare is left out\. Slit width: "far" is not a number/],
    ['brand:x', /^Strip 1 to compare is left out\. "brand:x" in the link is no parameter/],
    ['__proto__:1', /^Strip 1 to compare is left out\./],
    ['width:150um', /^Strip 1 to compare is left out\. The slits would overlap/],
    ['%E0%A4%A', /^Strip 1 to compare is left out\./],
  ])('one that is damaged is left out with a sentence, and the others stay: %s', (damaged, why) => {
    const { setting, pins, faults } = readAddress(`#slits=4&pin=${damaged}&pin=slits:2`);
    expect(setting).toEqual(changed(startSetting, { slits: 4 }));
    expect(pins).toEqual([changed(startSetting, { slits: 2 })]);
    expect(faults).toEqual([expect.stringMatching(why)]);
  });

  test('more than fit are not computed, and that is said', () => {
    const { pins, faults } = readAddress(`#${'pin=slits:2&'.repeat(5000)}`);
    expect(pins).toHaveLength(MOST_PINS);
    expect(faults).toEqual([
      `The link has 5000 strips to compare; the first ${MOST_PINS} are shown.`,
    ]);
  });
});

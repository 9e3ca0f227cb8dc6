import { expect, test } from 'vitest';
import { readAddress } from '../../kernel-lib/figures/bench/address';
import { type BenchSetting, startSetting } from '../../kernel-lib/figures/bench/setting';
import { live, mm, nm, um } from '../../kernel-lib/index';

// What the bench of version 0.1.0 wrote, copied from it word for word.
const rest =
  'collimatorFocalLength=300mm&slits=3&width=40um&spacing=100um&blocked=0&placeError=0um&ruling=1&incidence=0&focalLength=300mm&span=16mm&exposure=4&scale=linear&reading=550nm';
const plain = `light=sunlight&wavelength=632.8nm&filter=false&bandCentre=550nm&bandWidth=40nm&sourceWidth=0um&${rest}`;
const old: [string, string, Partial<BenchSetting>][] = [
  ['as the bench began', plain, { ...startSetting, light: 'sunlight', exposure: 4 }],
  [
    'mercury, much moved',
    'light=mercury&wavelength=632.8nm&filter=false&bandCentre=550nm&bandWidth=40nm&sourceWidth=50um&collimatorFocalLength=300mm&slits=10&width=40um&spacing=100um&blocked=3&placeError=3um&ruling=7&incidence=11.4591559026&focalLength=300mm&span=16mm&exposure=4&scale=linear&reading=546.075nm',
    { light: 'mercury', slits: 10, blocked: 3, placeError: 3e-6, ruling: 7, reading: 546.075e-9 },
  ],
  [
    'a filter; read at 550 nm, where it lets nothing through',
    'light=sunlight&wavelength=632.8nm&filter=true&bandCentre=650nm&bandWidth=20nm&sourceWidth=0um&collimatorFocalLength=300mm&slits=4&width=40um&spacing=100um&blocked=0&placeError=0um&ruling=1&incidence=0&focalLength=300mm&span=30mm&exposure=20&scale=log&reading=550nm',
    { filter: true, bandCentre: 650e-9, slits: 4, exposure: 20, scale: 'log', reading: 650e-9 },
  ],
  [
    'a laser',
    'light=laser&wavelength=532nm&filter=false&bandCentre=550nm&bandWidth=40nm&sourceWidth=0um&collimatorFocalLength=300mm&slits=20&width=40um&spacing=100um&blocked=0&placeError=0um&ruling=1&incidence=0&focalLength=300mm&span=16mm&exposure=4&scale=linear&reading=550nm',
    { light: 'laser', wavelength: 532e-9, slits: 20 },
  ],
];

test.each(old)('an old link opens: %s', (_, address, expected) => {
  const { setting, faults } = readAddress(`#${address}`);
  expect(faults).toEqual([]);
  for (const [name, value] of Object.entries(expected)) {
    const read = setting[name as keyof BenchSetting];
    if (typeof value === 'number') expect([name, read]).toEqual([name, expect.closeTo(value, 12)]);
    else expect([name, read]).toEqual([name, value]);
  }
  expect(setting.absolute).toBe(false);
});

test('an old link with strips to compare opens with all of them', () => {
  const { pins, faults } = readAddress(
    `#${plain}&pin=slits:1&pin=slits:2&pin=&pin=slits:4&pin=slits:10&pin=slits:20`,
  );
  expect(faults).toEqual([]);
  expect(pins.map(({ slits }) => slits)).toEqual([1, 2, 3, 4, 10, 20]);
  expect(pins.every(({ light }) => light === 'sunlight')).toBe(true);
});

test('old lines of code run', () => {
  // Written by the bench of version 0.1.0.
  const sun = live({
    ...{ light: 'sunlight', filter: true, bandCentre: nm(650), bandWidth: nm(20), slits: 4 },
    ...{ width: um(40), spacing: um(100), focalLength: mm(300), span: mm(30), exposure: 20 },
    scale: 'log',
  });
  expect([sun.setting.slits, sun.setting.light]).toEqual([4, 'sunlight']);
  const filament = live({
    ...{ light: 'filament', slits: 1, width: um(40), spacing: um(100), focalLength: mm(300) },
  });
  expect(filament.alt).toMatch(/^Film strip of one slit 40 µm wide in filament lamp/);
});

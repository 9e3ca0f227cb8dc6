import * as mathjs from 'mathjs';
import { expect, test } from 'vitest';
import { toUnit } from '../../kernel-lib/quantity/known-unit';
import { unit } from '../../kernel-lib/quantity/unit';

/** mathjs 15 (a general library) as the outside source for conversions. */
const pairs: readonly (readonly [unit: string, mathjsName: string, si: string])[] = [
  ['km', 'km', 'm'],
  ['cm', 'cm', 'm'],
  ['mm', 'mm', 'm'],
  ['um', 'um', 'm'],
  ['nm', 'nm', 'm'],
  ['pm', 'pm', 'm'],
  ['mrad', 'mrad', 'rad'],
  ['urad', 'urad', 'rad'],
  ['deg', 'deg', 'rad'],
  ['arcmin', 'arcmin', 'rad'],
  ['arcsec', 'arcsec', 'rad'],
  ['1/mm', 'mm^-1', 'm^-1'],
  ['1/cm', 'cm^-1', 'm^-1'],
  ['arcmin/nm', 'arcmin/nm', 'rad/m'],
  ['mm^2', 'mm^2', 'm^2'],
  ['ms', 'ms', 's'],
  ['THz', 'THz', '1/s'],
];

test.each(pairs)('%s agrees with the full mathjs', (name, mathjsName, si) => {
  const outside = mathjs.unit(0.37, si.replace('1/s', 's^-1')).toNumber(mathjsName);
  expect(Math.abs(toUnit(0.37, name) / outside - 1)).toBeLessThan(1e-14);
});

test.each(['0.32 deg', '550 nm', '19.2 arcmin', '3 mm^2', '20 degC', '600 /mm', '12 inch'])(
  'unit(%j) over plain numbers agrees with the full mathjs',
  (text) => {
    const ours = unit(text);
    const theirs = mathjs.unit(text);
    expect(ours.toNumber(theirs.formatUnits())).toBeCloseTo(
      theirs.toNumber(theirs.formatUnits()),
      12,
    );
    const si = theirs.toSI().formatUnits();
    expect(ours.toNumber(si)).toBeCloseTo(theirs.toNumber(si), 12);
  },
);

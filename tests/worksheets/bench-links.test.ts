import { transformSync } from 'esbuild';
import { describe, expect, test } from 'vitest';
import { asBundle } from '../../kernel-lib/display/bundle';
import { readAddress } from '../../kernel-lib/figures/bench/address';
import * as multislit from '../../kernel-lib/index';
import { givensFor } from '../../kernel-lib/questions/draw';
import { provingStudents } from '../../kernel-lib/questions/prove';
import { sheetNamed } from './sheets';
import { textOf } from './text-of';

// Under Look a link opens the bench with the student's own givens. The bench has ends of its own, and every number's
// givens must lie between them.

type Given = Readonly<Record<string, number>>;
const green = {
  light: () => 'filament',
  filter: () => true,
  bandCentre: ({ wavelength }: Given) => wavelength,
};

/** What stands on the bench for a sheet: its parameter, and what the student was given for it. */
const set: Record<string, Record<string, (given: Given) => number | string | boolean>> = {
  '01-a-parallel-beam': {
    ...green,
    slits: () => 2,
    width: ({ width }) => width,
    spacing: ({ spacing }) => spacing,
    sourceWidth: ({ sourceWidth }) => sourceWidth,
    collimatorFocalLength: ({ collimatorFocalLength }) => collimatorFocalLength,
    focalLength: ({ focalLength }) => focalLength,
  },
  '02-one-slit': {
    ...green,
    slits: () => 1,
    width: ({ width }) => width,
    focalLength: ({ focalLength }) => focalLength,
  },
  '03-two-slits': {
    ...green,
    slits: () => 2,
    width: ({ width }) => width,
    spacing: ({ spacing }) => spacing,
    focalLength: ({ focalLength }) => focalLength,
  },
  '04-three-and-four-slits': {
    ...green,
    slits: () => 4,
    width: ({ width }) => width,
    spacing: ({ spacing }) => spacing,
    focalLength: ({ focalLength }) => focalLength,
  },
  '05-from-slits-to-a-grating': {
    ...green,
    slits: ({ count }) => count,
    width: ({ width }) => width,
    spacing: ({ spacing }) => spacing,
    focalLength: ({ focalLength }) => focalLength,
  },
  '06-reading-the-spectrometer': {
    stand: () => 'spectrometer',
    light: () => 'mercury',
    linesPerMm: ({ label }) => 1e-3 / label,
    telescope: () => Math.PI / 9,
  },
  '07-your-own-pattern': {
    light: () => 'laser',
    wavelength: ({ wavelength }) => wavelength,
    slits: () => 3,
    spacing: ({ label }) => label,
    focalLength: ({ distance }) => distance,
  },
};

/** The cells above and under Look as one function: of a student number it makes the address that the link carries. */
function linkOf(sheet: { name: string; givens: (draw: multislit.Draw) => object }) {
  const cells = ['given', 'look-move'].map((id) => textOf(sheet.name, id)).join('\n');
  const { code } = transformSync(cells.replace(/^import [^;]+;$/m, ''), { loader: 'ts' });
  return (student: string, given: object): string => {
    const shown: unknown[] = [];
    const inside: Record<string, unknown> = {
      ...multislit,
      studentNumber: student,
      begin: () => given,
      movable: (_label: string, start: number) => start,
      show: (one: unknown) => shown.push(one),
    };
    new Function(...Object.keys(inside), code)(...Object.values(inside));
    const link = (shown.at(-1) as () => multislit.Showable)();
    const { address } = link[asBundle]()['application/vnd.multislit.bench-link+json'] as {
      address: string;
    };
    return address;
  };
}

describe('the link under Look', () => {
  test.each(Object.entries(set))(
    '%s: opens the bench with the student’s own givens',
    async (name, parameters) => {
      const sheet = await sheetNamed(name);
      const link = linkOf(sheet);
      for (const student of ['000000', ...provingStudents(100)]) {
        const given = givensFor(sheet, student) as Given;
        const { setting, faults } = readAddress(link(student, given));
        expect(faults).toEqual([]);
        for (const [parameter, from] of Object.entries(parameters)) {
          const value = from(given);
          const found = (setting as unknown as Record<string, unknown>)[parameter];
          if (typeof value === 'number')
            expect(found, `${student} ${parameter}`).toBeCloseTo(value, 10);
          else expect(found, `${student} ${parameter}`).toBe(value);
        }
      }
    },
  );
});

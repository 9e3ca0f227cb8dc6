import {
  chromaticity,
  excitationPurity,
  illuminant,
  linearInterpolant,
  nm,
  type OpenQuestion,
  xyz,
} from 'multislit';
import type { Given } from './given';

/** Intensity of one wavelength where `red` has its first order, behind narrow slits, relative to that in step. */
function kept(red: number, wavelength: number, count: number): number {
  return amplitude((Math.PI * red) / wavelength, count) ** 2;
}

/** The sum of `count` arrows, each turned by 2α, relative to all in step. */
function amplitude(alpha: number, count: number): number {
  const sine = Math.sin(alpha);
  return Math.abs(sine) < 1e-9 ? 1 : Math.sin(count * alpha) / (count * sine);
}

const filament = illuminant('A');
const wavelengths = Array.from({ length: 401 }, (_, i) => nm(380 + i));
const { continuum } = filament;
const power = wavelengths.map(linearInterpolant(continuum!.wavelengths, continuum!.power));
const white = chromaticity(xyz(filament));

/** Purity of the lamp's light of which each wavelength keeps a share, for an eye that takes the lamp for white. */
function purity(share: (wavelength: number) => number): number {
  const left = wavelengths.map((wavelength, i) => power[i] * share(wavelength));
  return excitationPurity(
    chromaticity(xyz({ name: 'what is left', continuum: { wavelengths, power: left } })),
    white,
  );
}

type Share = (red: number, wavelength: number, count: number) => number;

/** Purities behind all slides; the reds and numbers of slits that are drawn are worked out once each. */
function purities(share: Share): (given: Given) => readonly number[] {
  const known = new Map<string, number>();
  return ({ red, slides }) =>
    slides.map((count) => {
      const name = `${red} ${count}`;
      const found = known.get(name) ?? purity((each) => share(red, each, count));
      known.set(name, found);
      return found;
    });
}

const pure = purities(kept);

/** The student's own formula, and the colours it gives. */
export const red: readonly OpenQuestion<Given>[] = [
  {
    id: '5.4',
    kind: 'function',
    asks: 'What the slits keep of a wavelength',
    marks: 3,
    signature: '(wavelength: number, count: number) => number',
    points: ({ red, slides: [few, some, more, many] }) =>
      (
        [
          [0.8, few],
          [1.37, few],
          [0.93, few],
          [1.04, some],
          [0.88, some],
          [1 + 0.42 / more, more],
          [1 - 0.3 / more, more],
          [1 + 0.4 / many, many],
          [1 - 0.63 / many, many],
        ] as const
      ).map(([ratio, count]) => [ratio * red, count]),
    expected: (given, wavelength, count) => kept(given.red, wavelength, count),
    tolerance: { relative: 0.001 },
    slips: [
      {
        name: 'not squared',
        value: (given) => (wavelength, count) =>
          amplitude((Math.PI * given.red) / wavelength, count),
        hint: 'This is the amplitude: it turns negative in places. The film records its square.',
      },
      {
        name: 'not squared, without sign',
        value: (given) => (wavelength, count) =>
          Math.abs(amplitude((Math.PI * given.red) / wavelength, count)),
        hint: 'This is the size of the amplitude. The film records its square.',
      },
      {
        name: 'N left out below',
        value: (given) => (wavelength, count) => count ** 2 * kept(given.red, wavelength, count),
        hint: 'Your values grow with the number of slits. Relative to all slits in step none can be above 1: what stands below sin Nα?',
      },
      {
        name: 'one slit too few',
        value: (given) => (wavelength, count) => kept(given.red, wavelength, count - 1),
        hint: 'Your dark places lie a little too far out, as if one slit were missing.',
      },
      {
        name: 'twice the phase',
        value: (given) => (wavelength, count) => kept(2 * given.red, wavelength, count),
        hint: 'Your maxima are twice too narrow: α is half of the phase between neighbouring slits, not all of it.',
      },
      {
        name: 'always two slits',
        value: (given) => (wavelength) => kept(given.red, wavelength, 2),
        hint: 'Your function gives the same for any number of slits. Where does count come in?',
      },
    ],
  },
  {
    id: '5.5',
    kind: 'list',
    asks: 'How pure the red is',
    marks: 3,
    unit: '1',
    expected: pure,
    tolerance: { relative: 0.005 },
    slips: [
      {
        name: 'not squared',
        value: purities((red, wavelength, count) => Math.sqrt(kept(red, wavelength, count))),
        hint: 'Colour comes from intensity. These are the purities with amplitudes, before they are squared.',
      },
      {
        name: 'second order',
        value: purities((red, wavelength, count) => kept(2 * red, wavelength, count)),
        hint: 'These belong to the second order of that red, where the third order of blue is near. Look at the first.',
      },
      {
        name: 'most slits first',
        value: (given) => [...pure(given)].reverse(),
        hint: 'The order is that of the slides in given.slides: the fewest slits first.',
      },
      {
        name: 'percent',
        value: (given) => pure(given).map((each) => 100 * each),
        hint: 'These look like percent. A purity goes from 0 to 1.',
      },
      {
        name: 'what is lacking',
        value: (given) => pure(given).map((each) => 1 - each),
        hint: 'This is what is lacking to a pure colour. A purity of 1 is as pure as the spectrum.',
      },
    ],
  },
];

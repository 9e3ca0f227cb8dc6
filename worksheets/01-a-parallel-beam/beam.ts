import { arcseconds, type OpenQuestion } from 'multislit';
import type { Given } from './given';

/** Width of the image of the source slit. */
const image = ({ sourceWidth, focalLength, collimatorFocalLength }: Given) =>
  (sourceWidth * focalLength) / collimatorFocalLength;
/** Angle under which the source slit is seen through the collimator. */
const seen = ({ sourceWidth, collimatorFocalLength }: Given) => sourceWidth / collimatorFocalLength;
/** Distance of a bare source whose wavefront is flat enough: D²/8L = λ/p. */
const bare = ({ beamWidth, parts, wavelength }: Given) =>
  (beamWidth ** 2 * parts) / (8 * wavelength);
/** Width of the source slit at which the fringes vanish. */
const vanishing = ({ wavelength, collimatorFocalLength }: Given, d: number) =>
  (wavelength * collimatorFocalLength) / d;

/** The source slit and its image, the bare source, the fringes that vanish. */
export const beam: readonly OpenQuestion<Given>[] = [
  {
    id: '1.1',
    kind: 'number',
    asks: 'The image of the source slit',
    marks: 2,
    unit: 'um',
    expected: image,
    tolerance: { relative: 0.01 },
    slips: [
      {
        name: 'lenses exchanged',
        value: ({ sourceWidth, focalLength, collimatorFocalLength }) =>
          (sourceWidth * collimatorFocalLength) / focalLength,
        hint: 'The two lenses seem to have changed places. The longer the camera lens, the larger the picture.',
      },
      {
        name: 'as wide as the slit',
        value: ({ sourceWidth }) => sourceWidth,
        hint: 'This is the slit itself. Its image would be as wide only if both lenses had the same focal length.',
      },
      {
        name: 'diffraction at the source slit',
        value: ({ wavelength, focalLength, sourceWidth }) =>
          (wavelength * focalLength) / sourceWidth,
        hint: 'This is how far light spreads behind so narrow a slit. The lenses gather it again; the image follows from similar triangles.',
      },
      {
        name: 'millimetres',
        value: (given) => image(given) / 1000,
        hint: 'This looks like millimetres; micrometres are asked for.',
      },
    ],
  },
  {
    id: '1.2',
    kind: 'number',
    asks: 'The source slit as an angle',
    marks: 2,
    unit: 'arcsec',
    expected: seen,
    tolerance: { relative: 0.01 },
    slips: [
      {
        name: 'minutes of arc',
        value: (given) => seen(given) / 60,
        hint: 'This looks like minutes of arc. Each has sixty seconds.',
      },
      {
        name: 'degrees',
        value: (given) => seen(given) / 3600,
        hint: 'This looks like degrees; divide by arcseconds(1) to have seconds of arc.',
      },
      {
        name: 'radians',
        value: (given) => arcseconds(seen(given)),
        hint: 'This is the angle in radians; divide it by arcseconds(1).',
      },
      {
        name: 'camera lens',
        value: ({ sourceWidth, focalLength }) => sourceWidth / focalLength,
        hint: 'This uses the focal length of the camera. The source slit stands before the other lens.',
      },
      {
        name: 'minutes for seconds',
        value: (given) => seen(given) * 60,
        hint: 'Sixty times too much. A degree has 60 minutes, and a minute 60 seconds of arc.',
      },
    ],
  },
  {
    id: '1.3',
    kind: 'number',
    asks: 'How far a bare source must stand',
    marks: 2,
    unit: 'm',
    expected: bare,
    tolerance: { relative: 0.01 },
    slips: [
      {
        name: 'whole width for half',
        value: (given) => 4 * bare(given),
        hint: 'Four times too far. The edge of the beam lies half of its width from the axis.',
      },
      {
        name: 'half of the half',
        value: (given) => bare(given) / 4,
        hint: 'A quarter of what is needed. The beam width was halved more than once.',
      },
      {
        name: 'factor 2 left out',
        value: (given) => 2 * bare(given),
        hint: 'Twice too far. Is the 2 below the line in c²/2L there?',
      },
      {
        name: 'a whole wavelength',
        value: (given) => bare(given) / given.parts,
        hint: 'At this distance the edges lag by a whole wavelength. Only a part of one is allowed.',
      },
      {
        name: 'brackets below the line left out',
        value: ({ beamWidth, wavelength, parts }) =>
          ((beamWidth / 2) ** 2 / 2) * (wavelength / parts),
        hint: 'The wavelength has come above the line. a / b * c is a times c over b; for both below the line write a / (b * c).',
      },
      {
        name: 'brackets of the half left out',
        value: (given) => bare(given) / given.beamWidth,
        hint: 'Only the 2 was squared: D / 2 ** 2 is a quarter of D. With brackets, (D / 2) ** 2, all of it is.',
      },
      {
        name: 'not squared',
        // Of a beam 2 mm wide it is the same as millimetres.
        value: (given) =>
          given.beamWidth < 2.05e-3 ? Number.NaN : (2 * bare(given)) / given.beamWidth,
        hint: 'The distance from the axis stands there as it is. In the formula it is squared.',
      },
      {
        name: 'parts on the wrong side',
        value: (given) => bare(given) / given.parts ** 2,
        hint: 'Here the edges lag by many wavelengths. A part of a wavelength is the wavelength over the number of parts.',
      },
      {
        name: 'millimetres',
        value: (given) => 1000 * bare(given),
        hint: 'This looks like millimetres; metres are asked for.',
      },
    ],
  },
  {
    id: '1.4',
    kind: 'number',
    asks: 'Where the fringes vanish',
    marks: 2,
    unit: 'um',
    expected: (given) => vanishing(given, given.spacing),
    tolerance: { relative: 0.01 },
    slips: [
      {
        name: 'half a fringe',
        value: (given) => vanishing(given, 2 * given.spacing),
        hint: 'Here the two edges of the source are half a fringe apart. The contrast is lower, but not gone: for that every bright fringe of one part of the source must meet a dark one of another.',
      },
      {
        name: 'camera lens',
        value: ({ wavelength, focalLength, spacing }) => (wavelength * focalLength) / spacing,
        hint: 'This is the fringe spacing on the film, made by the camera lens. Before the slits stands the other lens.',
      },
      {
        name: 'width for spacing',
        value: (given) => vanishing(given, given.width),
        hint: 'This uses the width of one slit. Fringes come from the distance between the two.',
      },
      {
        name: 'dark bar for spacing',
        value: (given) => vanishing(given, given.spacing - given.width),
        hint: 'This uses the dark bar between the slits. The spacing goes from centre to centre.',
      },
      {
        name: 'millimetres',
        value: (given) => vanishing(given, given.spacing) / 1000,
        hint: 'This looks like millimetres; micrometres are asked for.',
      },
    ],
  },
];

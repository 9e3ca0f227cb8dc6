// The slips of the questions that ask for a function, as a student would write them into the cell: by question
// and slip, in the sheet's symbols. Written by hand from what each slip is called, not from the key's formulas.

const contrast = (body: string) => `function contrast(b: number): number {
  const v = (Math.PI * b * given.spacing) / (given.wavelength * given.collimatorFocalLength);
  return ${body};
}`;

const oneSlit = (beta: string, body = '(beta === 0 ? 1 : Math.sin(beta) / beta) ** 2') =>
  `function intensity(s: number): number {
  const beta = ${beta};
  return ${body};
}`;

const twoSlits = (body: string, d = 'given.spacing', a = 'given.width') =>
  `function intensity(s: number): number {
  const alpha = (Math.PI * ${d} * s) / given.wavelength;
  const beta = (Math.PI * ${a} * s) / given.wavelength;
  const one = beta === 0 ? 1 : Math.sin(beta) / beta;
  return ${body};
}`;

const manySlits = (body: string, d = 'given.spacing') =>
  `function pattern(count: number, s: number): number {
  const alpha = (Math.PI * ${d} * s) / given.wavelength;
  const beta = (Math.PI * given.width * s) / given.wavelength;
  const one = beta === 0 ? 1 : Math.sin(beta) / beta;
  const all = Math.abs(Math.sin(alpha)) < 1e-12 ? count : Math.sin(count * alpha) / Math.sin(alpha);
  return ${body};
}`;

const kept = (body: string, alpha = '(Math.PI * given.red) / wavelength', n = 'count') =>
  `function kept(wavelength: number, count: number): number {
  const alpha = ${alpha};
  const n = ${n};
  const share = Math.abs(Math.sin(alpha)) < 1e-9 ? 1 : Math.sin(n * alpha) / (n * Math.sin(alpha));
  return ${body};
}`;

const lineAngle = (body: string) =>
  `function lineAngle(order: number, wavelength: number): number {
  return ${body};
}`;

const linear = (body: string) => `function linear(code: number): number {
  const c = code / 255;
  return ${body};
}`;

const beta = '(Math.PI * given.width * s) / given.wavelength';

export const functionSlips: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  '1.5': {
    'sign kept': contrast('Math.sin(v) / v'),
    squared: contrast('(Math.sin(v) / v) ** 2'),
    'π left out': contrast('Math.abs(Math.sin(v / Math.PI) / (v / Math.PI))'),
    'camera lens': `function contrast(b: number): number {
  const v = (Math.PI * b * given.spacing) / (given.wavelength * given.focalLength);
  return Math.abs(Math.sin(v) / v);
}`,
    'brackets of v left out': `function contrast(b: number): number {
  const v = Math.PI * b * given.spacing / given.wavelength * given.collimatorFocalLength;
  return Math.abs(Math.sin(v) / v);
}`,
    'brackets below the sine left out': contrast(
      'Math.abs(Math.sin(v) / Math.PI * (b * given.spacing / (given.wavelength * given.collimatorFocalLength)))',
    ),
    'no brackets at all': `function contrast(b: number): number {
  const v = Math.PI * b * given.spacing / given.wavelength * given.collimatorFocalLength;
  return Math.abs(Math.sin(v) / Math.PI * b * given.spacing / given.wavelength * given.collimatorFocalLength);
}`,
    'v left out': contrast('Math.abs(Math.sin(v))'),
    degrees: contrast('Math.abs(Math.sin((v * 180) / Math.PI) / ((v * 180) / Math.PI))'),
    cosine: contrast('Math.abs(Math.cos(v))'),
    'width for spacing': `function contrast(b: number): number {
  const v = (Math.PI * b * given.width) / (given.wavelength * given.collimatorFocalLength);
  return Math.abs(Math.sin(v) / v);
}`,
  },
  '2.3': {
    'not squared': oneSlit(beta, 'beta === 0 ? 1 : Math.sin(beta) / beta'),
    'π left out': oneSlit('(given.width * s) / given.wavelength'),
    'π twice': oneSlit('(Math.PI ** 2 * given.width * s) / given.wavelength'),
    'no brackets below the stroke, 1 in the middle': oneSlit(
      beta,
      's === 0 ? 1 : (Math.sin(beta) / Math.PI * given.width * s / given.wavelength) ** 2',
    ),
    'no brackets below the stroke, 0 in the middle': oneSlit(
      beta,
      '(Math.sin(beta) / Math.PI * given.width * s / given.wavelength) ** 2',
    ),
    'only β squared': oneSlit(beta, 's === 0 ? 1 : Math.sin(beta) / beta ** 2'),
    degrees: oneSlit('(180 * given.width * s) / given.wavelength'),
    'half the width': oneSlit('(Math.PI * given.width * s) / (2 * given.wavelength)'),
    'twice the width': oneSlit('(2 * Math.PI * given.width * s) / given.wavelength'),
    'squared cosine': oneSlit(beta, 'Math.cos(beta) ** 2'),
  },
  '3.3': {
    'no envelope': twoSlits('Math.cos(alpha) ** 2'),
    'one slit only': twoSlits('one ** 2'),
    'fringes twice too fine': twoSlits('Math.cos(2 * alpha) ** 2 * one ** 2'),
    'dark bar for spacing': twoSlits(
      'Math.cos(alpha) ** 2 * one ** 2',
      '(given.spacing - given.width)',
    ),
    'cosine not squared': twoSlits('Math.cos(alpha) * one ** 2'),
    'envelope not squared': twoSlits('Math.cos(alpha) ** 2 * one'),
    'amplitude, nothing squared': twoSlits('Math.cos(alpha) * one'),
    degrees: twoSlits(
      'Math.cos((alpha * 180) / Math.PI) ** 2 * (s === 0 ? 1 : Math.sin((beta * 180) / Math.PI) / ((beta * 180) / Math.PI)) ** 2',
    ),
    'degrees in sine and cosine': twoSlits(
      '(Math.cos((alpha * 180) / Math.PI) * (s === 0 ? 1 : Math.sin((beta * 180) / Math.PI) / beta)) ** 2',
    ),
    'no brackets below the stroke': twoSlits(
      'Math.cos(alpha) ** 2 * (Math.sin(beta) / Math.PI * given.width * s / given.wavelength) ** 2',
    ),
    'no brackets below the stroke, 1 in the middle': twoSlits(
      's === 0 ? 1 : Math.cos(alpha) ** 2 * (Math.sin(beta) / Math.PI * given.width * s / given.wavelength) ** 2',
    ),
    'only β squared': twoSlits('s === 0 ? 1 : Math.cos(alpha) ** 2 * Math.sin(beta) / beta ** 2'),
    'only the sine squared': twoSlits(
      's === 0 ? 1 : Math.cos(alpha) ** 2 * Math.sin(beta) ** 2 / beta',
    ),
    'width and spacing exchanged': twoSlits(
      'Math.cos(alpha) ** 2 * one ** 2',
      'given.width',
      'given.spacing',
    ),
  },
  '4.4': {
    'not divided by the number': manySlits('all ** 2 * one ** 2'),
    'divided once': manySlits('(all ** 2 / count) * one ** 2'),
    'no envelope': manySlits('(all / count) ** 2'),
    'lines twice too close': manySlits('(all / count) ** 2 * one ** 2', '2 * given.spacing'),
    'not squared': manySlits('(all / count) * one'),
  },
  '5.4': {
    'not squared': kept('share'),
    'not squared, without sign': kept('Math.abs(share)'),
    'N left out below': kept('(n * share) ** 2'),
    'one slit too few': kept('share ** 2', '(Math.PI * given.red) / wavelength', 'count - 1'),
    'twice the phase': kept('share ** 2', '(2 * Math.PI * given.red) / wavelength'),
    'always two slits': kept('share ** 2', '(Math.PI * given.red) / wavelength', '2'),
  },
  '6.1': {
    degrees: lineAngle('(Math.asin((order * wavelength) / given.label) * 180) / Math.PI'),
    'sine for angle': lineAngle('(order * wavelength) / given.label'),
    tangent: lineAngle('Math.atan((order * wavelength) / given.label)'),
    'order left out': lineAngle('Math.asin(wavelength / given.label)'),
    'nanometres twice': lineAngle('Math.asin((order * wavelength * 1e-9) / given.label)'),
    'half a wavelength': lineAngle('Math.asin(((order + 0.5) * wavelength) / given.label)'),
  },
  '7.4': {
    'no curve': linear('c'),
    // IEC 61966-2-1 as the sheet's text gives it, taken the wrong way round.
    'the other way': linear('c <= 0.0031308 ? 12.92 * c : 1.055 * c ** (1 / 2.4) - 0.055'),
    'power only': linear('c ** 2.4'),
    'power 2.2': linear('c ** 2.2'),
    'no straight part': linear('((c + 0.055) / 1.055) ** 2.4'),
    'straight part only': linear('c / 12.92'),
  },
};

// The public names, grouped; no logic. tests/index.test.ts pins the list.

// display
export { asBundle, type MimeBundle, type Showable } from './display/bundle';

// quantity

// numerics

// aperture
export type { Aperture, Complex, Slit } from './aperture/aperture';
// camera
export type { FilmStrip } from './camera/film';
// light
export type { Light, SpectralLine } from './light/light';

// spectrometer

// fitting

// figures
export type { Figure } from './figures/figure';
export { filmStripPicture } from './figures/film-strip-picture';
export { type PatternCurve, patternPlot } from './figures/pattern-plot';
export { show } from './figures/show';
export { type LabelledStrip, stackedStrips } from './figures/stacked-strips';
export { stripFigure } from './figures/strip-figure';

// questions
export type { Draw } from './questions/draw';
export type {
  FunctionQuestion,
  Givens,
  Key,
  ListQuestion,
  NumberQuestion,
  OpenQuestion,
  Question,
  SealedQuestion,
  Sheet,
  Slip,
  Tolerance,
  WordQuestion,
  WrittenQuestion,
} from './questions/sheet';

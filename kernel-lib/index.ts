// The public names, grouped; no logic. tests/index.test.ts pins the list.

// aperture
export { amplitude } from './aperture/amplitude';
export type { Aperture, Complex, Slit } from './aperture/aperture';
export { type SlitMeasures, type SlitPlace, slits, slitsAt } from './aperture/aperture';
export { type Autocorrelation, autocorrelation } from './aperture/autocorrelation';
export { diffractionAngle, directionSine } from './aperture/direction';
export type { Extremum, SineRange } from './aperture/extrema';
export {
  minima,
  type PrincipalMaximum,
  principalMaxima,
  subsidiaryMaxima,
} from './aperture/extrema';
export {
  blocked,
  type RulingErrors,
  withRulingErrors,
  withTransmissions,
  withWidths,
} from './aperture/imperfect';
export { intensity, intensityProfile } from './aperture/intensity';
export { fresnelNumber, type NearFieldOptions, nearField } from './aperture/near-field';
export {
  angularDispersion,
  freeSpectralRange,
  halfWidth,
  missingOrders,
  orderOverlap,
  resolvingPower,
  type WavelengthRange,
} from './aperture/orders';
export { type Phasor, phasors } from './aperture/phasors';
export { visibility } from './aperture/visibility';

// camera
export type { FilmStrip } from './camera/film';
export { filmStrip } from './camera/film-strip';
export {
  type Arrangement,
  type Cupboard,
  type Plan,
  planDemonstration,
} from './camera/plan-demonstration';
export { type PreparedLight, prepare } from './camera/prepared-light';
export { type ScreenStrip, type ScreenStripOptions, screenStrip } from './camera/screen-strip';
export type { FilmStripOptions } from './camera/strip-options';
export {
  type TelescopeOptions,
  type TelescopeView,
  telescopeView,
} from './camera/telescope-view';
export {
  type Catcher,
  type Demonstration,
  type Need,
  type ParallelBy,
  type Sight,
  type SightName,
  willItShow,
} from './camera/will-it-show';
// display
export { asBundle, type MimeBundle, type Showable } from './display/bundle';
export {
  acceptComm,
  type Comm,
  type CommExchange,
  type CommMessage,
  connectComms,
  openComm,
} from './display/comm';
export {
  clearOutput,
  type Display,
  type DisplayPort,
  openDisplay,
  progress,
  prompt,
  setDisplayPort,
} from './display/display';
export type { BenchLight, BenchSetting } from './figures/bench/setting';
// figures
export { chromaticityPath } from './figures/chromaticity-path';
export type { Figure } from './figures/figure';
export { filmStripPicture, stripFigure } from './figures/film-strip-picture';
export { fitPlot } from './figures/fit-plot';
export { linePlot, type Series } from './figures/line-plot';
export { type FindBenchScript, type LiveBench, live, setBenchScript } from './figures/live';
export { acceptMoves, type MovableRange, movable } from './figures/movable';
export { nearToFar } from './figures/near-to-far';
export { type PatternCurve, patternPlot } from './figures/pattern-plot';
export { phasorPolygon } from './figures/phasor-polygon';
export { pictureFigure } from './figures/picture-figure';
export { show } from './figures/show';
export { spectrumPlot } from './figures/spectrum-plot';
export { type LabelledStrip, stackedStrips } from './figures/stacked-strips';
export { type StepWedge, stepWedge } from './figures/step-wedge';
export { vernierFigure } from './figures/vernier-figure';
// fitting
export type { Bound } from './fitting/derivatives';
export { type FindBeside, fileBeside, setFilesBeside } from './fitting/file-beside';
export { type FitOptions, fitCurve } from './fitting/fit-curve';
export type { FitData } from './fitting/fit-data';
export { type FittedLine, fitLine } from './fitting/fit-line';
export type { FitResult, Fitted } from './fitting/fit-result';
export { measuredParameters } from './fitting/fit-result';
export type { PictureMask } from './fitting/picture/band-profile';
export {
  type CameraCurve,
  curveFromExposures,
  curveFromWedge,
  exposurePairs,
  type MeasuredCurve,
  type TwoExposures,
} from './fitting/picture/camera-curve';
export type { PictureBand } from './fitting/picture/find-band';
export type { PixelRange } from './fitting/picture/lanes';
export {
  type PictureChannel,
  type PictureProfile,
  type PictureProfileOptions,
  pictureProfile,
} from './fitting/picture/picture-profile';
export type { PictureRows } from './fitting/picture/picture-rows';
export {
  type PicturePoint,
  type PictureScale,
  planeScale,
  rulerScale,
  type ScaleOptions,
  type SeenMark,
} from './fitting/picture/picture-scale';
export {
  type SmallPictureOptions,
  smallPicture,
  withoutMetadata,
} from './fitting/picture/private-picture';
export { readPicture } from './fitting/picture/read-picture';
export { linearFromSrgb, srgbFromLinear } from './fitting/picture/srgb-curve';
export { type WedgePlace, wedgeSteps } from './fitting/picture/wedge-steps';
export type { Profile } from './fitting/profile';
export { type CsvProfileOptions, csvProfile } from './fitting/profile-csv';
export {
  type ExtremaOptions,
  type ProfileExtremum,
  profileExtrema,
} from './fitting/profile-extrema';
export { readTable } from './fitting/read-table';
export type { BlurShape } from './fitting/slits/blur';
export { type CurveCost, curveCost } from './fitting/slits/curve-cost';
export {
  type CountTried,
  type FittedSlits,
  fitSlits,
} from './fitting/slits/fit-slits';
export {
  type FringeReadings,
  type LengthFromOrders,
  lengthFromOrders,
} from './fitting/slits/length-from-orders';
export type { CheckByHand } from './fitting/slits/slit-check';
export { fittedCurve, type SlitGeometry, type SlitParameter } from './fitting/slits/slit-model';
export type { SlitFitOptions } from './fitting/slits/slit-options';
export {
  encodePicture,
  type Picture,
  type SlitPictureSetting,
  slitPicture,
} from './fitting/slits/slit-picture';
export { type SlitProfileSetting, slitProfile } from './fitting/slits/slit-profile';
// light
export { blackbody } from './light/blackbody';
export { type DarkLine, darkLines, sunlightWithDarkLines } from './light/dark-lines';
export { deltaE } from './light/delta-e';
export {
  colourName,
  type DominantWavelength,
  dominantWavelength,
  excitationPurity,
} from './light/dominant-wavelength';
export { filtered, type Passband, passband } from './light/filtered';
export { illuminant } from './light/illuminant';
export { type LampName, lamp, laser } from './light/lamp';
export type { Chromaticity, Light, SpectralLine, XYZ } from './light/light';
export { srgb } from './light/srgb';
export { sunlight } from './light/sunlight';
export { chromaticity, xyz } from './light/xyz';
// numerics
export { type FresnelIntegrals, fresnelIntegrals } from './numerics/fresnel-integrals';
export {
  type Interpolant,
  type InterpolationOptions,
  linearInterpolant,
  splineInterpolant,
} from './numerics/interpolation';
export { integrate, type QuadratureOptions, trapezoid } from './numerics/quadrature';
export { type Random, seeded } from './numerics/random';
export { findRoot, type RootOptions } from './numerics/roots';
export { sinc, sincPi } from './numerics/sinc';
export { readAngle, wrapAngle, wrapAngleSigned, writeAngle } from './quantity/angle';
export { correlated, correlation, covariance, effectiveFreedom } from './quantity/correlated';
export { coverageFactor, type Expanded, expanded } from './quantity/expanded';
export { formatNumber } from './quantity/format-number';
// quantity
export { formatQuantity, fromUnit, toUnit } from './quantity/known-unit';
export { meanOf, meansOf, weightedMean } from './quantity/means';
export {
  type Cause,
  type Evaluation,
  isMeasured,
  type Measurable,
  Measured,
  measured,
  propagate,
} from './quantity/measured';
export { type PrintStyle, printMeasured } from './quantity/print-measured';
export {
  arcminutes,
  arcseconds,
  cm,
  degrees,
  m,
  mm,
  mrad,
  nm,
  perMillimetre,
  um,
} from './quantity/si';
export type { Unit } from './quantity/unit';
export { unit } from './quantity/unit';
// questions
export { blank, type PlainAnswer, type PlainNumber, type Sampling } from './questions/answer';
export { defineKey, defineSheet } from './questions/define';
export { type Draw, givensFor } from './questions/draw';
export { judge } from './questions/judge';
export type { FunctionQuestion } from './questions/kinds/function';
export type { State } from './questions/kinds/kind';
export type { ListQuestion } from './questions/kinds/list';
export type { NumberQuestion } from './questions/kinds/number';
export type { Slip, Tolerance } from './questions/kinds/tolerance';
export type { WordQuestion } from './questions/kinds/word';
export type {
  AnyKey,
  AnyOpenQuestion,
  AnyQuestion,
  AnySheet,
  Carried,
  Givens,
  Key,
  OpenQuestion,
  Question,
  SealedQuestion,
  Sheet,
  WrittenQuestion,
} from './questions/sheet';
export type { SheetGivens } from './questions/sheet-givens';
export type { SheetState, Verdict } from './questions/verdict';
export {
  begin,
  check,
  endWork,
  type GivenOf,
  setSheetSource,
  standing,
  type Work,
  workNow,
} from './questions/work';
// spectrometer
export {
  type Air,
  refractiveIndexOfAir,
  wavelengthInAir,
  wavelengthInVacuum,
} from './spectrometer/air';
export {
  type CircleSetting,
  circleReadings,
  type DividedCircle,
  dividedCircle,
  eccentricityError,
  halfAngle,
  type MeanReading,
  meanReading,
  type OrderReadings,
  readCircle,
  type VernierPair,
  withoutEccentricity,
} from './spectrometer/divided-circle';
export {
  gratingAngle,
  gratingDeviation,
  gratingOrders,
  gratingSpacing,
  gratingWavelength,
  type MinimumDeviation,
  minimumDeviation,
  type Orders,
  wavelengthFromMinimumDeviation,
} from './spectrometer/grating';
export {
  type MainLine,
  type VernierLine,
  type VernierScale,
  vernierScale,
} from './spectrometer/vernier';

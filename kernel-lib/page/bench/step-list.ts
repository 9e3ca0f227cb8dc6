import type { Change } from '../../figures/bench/change';

/** One step through the bench: what is asked before it is shown, what to look for then, and why it is so. */
export interface Step {
  readonly title: string;
  readonly ask: string;
  readonly look: string;
  readonly why: string;
  readonly setting: Change;
}

const pair: Change = { slits: 2, spacing: 160e-6 };
const greenPair: Change = {
  ...pair,
  filter: true,
  bandCentre: 546e-9,
  bandWidth: 10e-9,
  exposure: 2,
};
const red: Change = { light: 'laser', wavelength: 632.8e-9 };

/**
 * From a pair of slits in lamplight to a ruled row of them. What a step does not name is as the bench begins, or as the
 * lecturer has set lenses and film: so what is said of a place is said as an angle.
 */
export const steps: readonly Step[] = [
  {
    title: 'A pair of slits in lamplight',
    ask: 'White light meets two slits. Where behind them will it be bright, and where white?',
    look: 'White only in the very middle. In the first band beside it, which colour lies inside, which outside?',
    why: 'Bright where the two paths differ by a whole wavelength. Violet has the shortest, so its first band lies nearest to the middle and that of red farthest out.',
    setting: pair,
  },
  {
    title: 'The same pair behind a green filter',
    ask: 'Only green light is let through now. Will more bands be seen, or fewer?',
    look: 'Count the bright bands now. Why did white light show so few?',
    why: 'Each wavelength makes bands of its own spacing. In white light they run into each other after the first few; a narrow band of colours leaves them apart.',
    setting: greenPair,
  },
  {
    title: 'A source slit that is too wide',
    ask: 'The source slit is opened to 1 mm. What becomes of the bands?',
    look: 'The bands are gone, though the slits are the same. At what width of the source slit do they come back?',
    why: 'Each line of the source slit makes bands in a direction of its own. Seen from the slits, 1 mm at 300 mm is 11′, the very distance of two bands, λ / d = 12′: they fill each other’s gaps.',
    setting: { ...greenPair, sourceWidth: 1000e-6, collimatorFocalLength: 0.3 },
  },
  {
    title: 'One of the pair covered',
    ask: 'The source slit is narrow again, but one of the two slits is covered. What is left of the bands?',
    look: 'No bands again, but for another reason: a single broad glow with weak ones beside it. Where is its first dark place?',
    why: 'Light of one slit meets only its own. It is dark where the paths from the two edges differ by one wavelength: sin θ = λ / a, that is at 47′.',
    setting: { ...greenPair, blocked: 2 },
  },
  {
    title: 'That slit half as wide',
    ask: 'The open slit is made half as wide. Does the glow shrink with it, or grow?',
    look: 'The glow has grown. Which number doubled?',
    why: 'The first dark place lies at sin θ = λ / a: half the width, twice the angle. Half the amplitude arrives in the middle, so a quarter of the brightness.',
    setting: { ...greenPair, blocked: 2, width: 20e-6 },
  },
  {
    title: 'The pair in red laser light',
    ask: 'Both slits again, in red laser light. Do the bands lie closer than in green, or farther apart?',
    look: 'Pull the spacing to and fro: what moves, and what stays?',
    why: 'Two bands lie λ / d apart: 633 nm in the place of 546 nm spreads them by a sixth. The bands follow the spacing; the glow over them belongs to each single slit and stays.',
    setting: { ...red, ...pair },
  },
  {
    title: 'Three slits',
    ask: 'A third slit is added. What appears between two bright lines?',
    look: 'Between two bright lines stands a weak one. Move across it and watch the three arrows: how do they lie there?',
    why: 'Half way between two orders each arrow points against its neighbour: two cancel, one is left. A third of the amplitude, a ninth of the brightness.',
    setting: { ...red, slits: 3 },
  },
  {
    title: 'Five slits, counted against one',
    ask: 'Five slits let five times the light through. How many times as bright is the middle as with one?',
    look: 'The scale now counts in middles of a single slit. Add slits one by one: what is the law?',
    why: 'Amplitudes add: five times the amplitude is 25 times the brightness. There is no more light than five slits let through: the lines are narrower instead.',
    setting: { ...red, slits: 5, absolute: true, exposure: 0.04 },
  },
  {
    title: 'Eight slits, with the weak light drawn up',
    ask: 'Eight slits. How many weak lines will stand between two orders?',
    look: 'Each mark on the scale is ten times less light. Count the weak lines between two orders.',
    why: 'Eight arrows close to nothing at seven places between two orders, and between seven dark places lie six weak lines: N − 1 and N − 2.',
    setting: { ...red, slits: 8, scale: 'log' },
  },
  {
    title: 'Sixteen slits in lamplight',
    ask: 'Sixteen slits in white light. What will the bands have become?',
    look: 'The bands have become spectra. Which colour lies nearest to the middle, and where do two spectra meet?',
    why: 'Each colour’s lines are so narrow now that they lie side by side, violet innermost. Two orders meet where m λ is the same: 3 × 450 nm falls on 2 × 675 nm.',
    setting: { slits: 16, exposure: 3 },
  },
  {
    title: 'Sixteen slits, one of them covered',
    ask: 'One of the sixteen slits is covered. Where will light appear that was not there?',
    look: 'Light where it was dark. Which arrow is missing?',
    why: 'Where sixteen arrows closed to nothing, fifteen lack one: an arrow as long as the missing one is left, 1/225 of the brightness that fifteen give together.',
    setting: { ...red, slits: 16, blocked: 6, scale: 'log' },
  },
  {
    title: 'Sixteen slits, badly ruled',
    ask: 'Each of the sixteen slits stands wrong by some 6 µm. Which orders suffer first?',
    look: 'Chance errors of 6 µm. The outer orders suffer before the inner ones: why?',
    why: 'A slit that stands wrong by ε turns its arrow by 2π ε sin θ / λ, in order m by 2π m ε / d: nothing straight ahead, and more with each order.',
    setting: { ...red, slits: 16, placeError: 6e-6, scale: 'log', span: 30e-3 },
  },
];

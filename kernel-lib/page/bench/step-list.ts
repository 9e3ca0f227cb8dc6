import { deflateSync, inflateSync, strFromU8, strToU8 } from 'fflate';
import { base64, bytesOfBase64 } from '../../display/base64';
import { readAddress, writeAddress } from '../../figures/bench/address';
import type { Change } from '../../figures/bench/change';
import { type BenchSetting, startSetting } from '../../figures/bench/setting';
import { type Asking, readAsking } from '../../travels/room-talk';

/** One step through the bench: what is asked before it is shown, what to look for then, and why it is so. */
export interface Step {
  readonly title: string;
  readonly ask: string;
  readonly look: string;
  readonly why: string;
  readonly setting: Change;
  /** What is asked for before it is shown. */
  readonly asks: Asking;
  /** Direction sine of the places that numbers and words are said of; straight ahead without it. */
  readonly at?: number;
  /** Its setting is all of the bench, lenses and film of the hall included; without this it names what it compares. */
  readonly isWhole?: true;
}

const paint: Asking = { kind: 'paint' };
const number = (counts: '' | '×'): Asking => ({ kind: 'number', counts });
const oneOf = (...words: readonly string[]): Asking => ({ kind: 'word', words });

const pair: Change = { slits: 2, spacing: 160e-6 };
const greenPair: Change = {
  ...pair,
  filter: true,
  bandCentre: 546e-9,
  bandWidth: 10e-9,
  exposure: 2,
};
const red: Change = { light: 'laser', wavelength: 632.8e-9 };
/** Half way to the first order of red light from slits 100 µm apart. */
const halfWay = 632.8e-9 / 200e-6;

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
    asks: paint,
    setting: pair,
  },
  {
    title: 'The same pair behind a green filter',
    ask: 'Only green light is let through now. Will more bands be seen, or fewer?',
    look: 'Count the bright bands now. Why did white light show so few?',
    why: 'Each wavelength makes bands of its own spacing. In white light they run into each other after the first few; a narrow band of colours leaves them apart.',
    asks: oneOf('fewer', 'as many', 'more'),
    setting: greenPair,
  },
  {
    title: 'A source slit that is too wide',
    ask: 'The source slit is opened to 1 mm. What becomes of the bands?',
    look: 'The bands are gone, though the slits are the same. At what width of the source slit do they come back?',
    why: 'Each line of the source slit makes bands in a direction of its own. Seen from the slits, 1 mm at 300 mm is 11′, the very distance of two bands, λ / d = 12′: they fill each other’s gaps.',
    asks: oneOf('they stay', 'they grow broader', 'they vanish'),
    setting: { ...greenPair, sourceWidth: 1000e-6, collimatorFocalLength: 0.3 },
  },
  {
    title: 'One of the pair covered',
    ask: 'The source slit is narrow again, but one of the two slits is covered. What is left of the bands?',
    look: 'No bands again, but for another reason: a single broad glow with weak ones beside it. Where is its first dark place?',
    why: 'Light of one slit meets only its own. It is dark where the paths from the two edges differ by one wavelength: sin θ = λ / a, that is at 47′.',
    asks: paint,
    setting: { ...greenPair, blocked: 2 },
  },
  {
    title: 'That slit half as wide',
    ask: 'The open slit is made half as wide. Does the glow shrink with it, or grow?',
    look: 'The glow has grown. Which number doubled?',
    why: 'The first dark place lies at sin θ = λ / a: half the width, twice the angle. Half the amplitude arrives in the middle, so a quarter of the brightness.',
    asks: oneOf('it shrinks', 'it stays', 'it grows'),
    at: 546e-9 / 40e-6,
    setting: { ...greenPair, blocked: 2, width: 20e-6 },
  },
  {
    title: 'The pair in red laser light',
    ask: 'Both slits again, in red laser light. Do the bands lie closer than in green, or farther apart?',
    look: 'Pull the spacing to and fro: what moves, and what stays?',
    why: 'Two bands lie λ / d apart: 633 nm in the place of 546 nm spreads them by a sixth. The bands follow the spacing; the glow over them belongs to each single slit and stays.',
    asks: oneOf('closer', 'as in green', 'farther apart'),
    at: 632.8e-9 / 160e-6,
    setting: { ...red, ...pair },
  },
  {
    title: 'Three slits',
    ask: 'A third slit is added. What appears between two bright lines?',
    look: 'Between two bright lines stands a weak one. Move across it and watch the three arrows: how do they lie there?',
    why: 'Half way between two orders each arrow points against its neighbour: two cancel, one is left. A third of the amplitude, a ninth of the brightness.',
    asks: oneOf('nothing', 'one weak line', 'two weak lines', 'three weak lines'),
    at: halfWay,
    setting: { ...red, slits: 3 },
  },
  {
    title: 'Five slits, counted against one',
    ask: 'Five slits let five times the light through. How many times as bright is the middle as with one?',
    look: 'The scale now counts in middles of a single slit. Add slits one by one: what is the law?',
    why: 'Amplitudes add: five times the amplitude is 25 times the brightness. There is no more light than five slits let through: the lines are narrower instead.',
    asks: number('×'),
    setting: { ...red, slits: 5, absolute: true, exposure: 0.04 },
  },
  {
    title: 'Eight slits, with the weak light drawn up',
    ask: 'Eight slits. How many weak lines will stand between two orders?',
    look: 'Each mark on the scale is ten times less light. Count the weak lines between two orders.',
    why: 'Eight arrows close to nothing at seven places between two orders, and between seven dark places lie six weak lines: N − 1 and N − 2.',
    asks: number(''),
    at: halfWay,
    setting: { ...red, slits: 8, scale: 'log' },
  },
  {
    title: 'Sixteen slits in lamplight',
    ask: 'Sixteen slits in white light. What will the bands have become?',
    look: 'The bands have become spectra. Which colour lies nearest to the middle, and where do two spectra meet?',
    why: 'Each colour’s lines are so narrow now that they lie side by side, violet innermost. Two orders meet where m λ is the same: 3 × 450 nm falls on 2 × 675 nm.',
    asks: paint,
    setting: { slits: 16, exposure: 3 },
  },
  {
    title: 'Sixteen slits, one of them covered',
    ask: 'One of the sixteen slits is covered. Where will light appear that was not there?',
    look: 'Light where it was dark. Which arrow is missing?',
    why: 'Where sixteen arrows closed to nothing, fifteen lack one: an arrow as long as the missing one is left, 1/225 of the brightness that fifteen give together.',
    asks: paint,
    setting: { ...red, slits: 16, blocked: 6, scale: 'log' },
  },
  {
    title: 'Sixteen slits, badly ruled',
    ask: 'Each of the sixteen slits stands wrong by some 6 µm. Which orders suffer first?',
    look: 'Chance errors of 6 µm. The outer orders suffer before the inner ones: why?',
    why: 'A slit that stands wrong by ε turns its arrow by 2π ε sin θ / λ, in order m by 2π m ε / d: nothing straight ahead, and more with each order.',
    asks: oneOf('all alike', 'the inner ones', 'the outer ones'),
    at: 632.8e-9 / 50e-6,
    setting: { ...red, slits: 16, placeError: 6e-6, scale: 'log', span: 30e-3 },
  },
];

/** More steps than this nobody goes through in an hour. */
export const MOST_STEPS = 60;

/** A step as it stands in a file: its setting as an address has it. */
type WrittenStep = Omit<Step, 'setting' | 'isWhole'> & { readonly setting: string };

const format = 'bench steps 1';

/** Steps as the text of a file, each with all that stands on its bench. */
export function writeSteps(all: readonly Step[]): string {
  const written = all.map(({ title, ask, look, why, asks, at, setting }): WrittenStep => {
    const whole: BenchSetting = { ...startSetting, ...setting };
    return { title, ask, look, why, asks, at, setting: writeAddress(whole) };
  });
  return `${JSON.stringify({ multislit: format, steps: written }, null, 2)}\n`;
}

/**
 * The steps of a file.
 *
 * @throws Error with a sentence when it is none, or what is wrong with which step
 */
export function readSteps(text: string): Step[] {
  let file: { multislit?: unknown; steps?: unknown } | null;
  try {
    file = JSON.parse(text) as typeof file;
  } catch {
    throw new Error('These are no steps of a bench: the text is cut off or damaged.');
  }
  if (file?.multislit !== format || !Array.isArray(file.steps))
    throw new Error('These are no steps of a bench: open a file that was saved here.');
  if (file.steps.length === 0) throw new Error('There is no step in it.');
  if (file.steps.length > MOST_STEPS)
    throw new Error(`There are ${file.steps.length} steps in it, and ${MOST_STEPS} are the most.`);
  return file.steps.map((step, i) => readStep(step, i + 1));
}

function readStep(data: unknown, count: number): Step {
  const { title, ask, look, why, asks, at, setting } = (data ?? {}) as Partial<
    Record<keyof WrittenStep, unknown>
  >;
  const text = (value: unknown, name: string, longest: number): string => {
    if (typeof value === 'string' && value.length <= longest) return value;
    throw new Error(`Step ${count}: its ${name} is no text of at most ${longest} letters.`);
  };
  const asking = readAsking(asks);
  if (!asking) throw new Error(`Step ${count}: what it asks for is none of the three kinds.`);
  const read = readAddress(text(setting, 'setting', 4000));
  if (read.faults.length > 0) throw new Error(`Step ${count}: ${read.faults.join(' ')}`);
  return {
    title: text(title, 'title', 80),
    ask: text(ask, 'question', 600),
    look: text(look, 'hint where to look', 600),
    why: text(why, 'explanation', 600),
    asks: asking,
    ...(typeof at === 'number' && Math.abs(at) < 1 ? { at } : {}),
    setting: read.setting,
    isWhole: true,
  };
}

/** Steps as a part of an address. */
export const packSteps = (all: readonly Step[]): string =>
  base64(deflateSync(strToU8(writeSteps(all)), { level: 9 }))
    .replaceAll('+', '-')
    .replaceAll('/', '_')
    .replace(/=+$/, '');

/** Longest text that steps of an address may swell to. */
const LONGEST = 400_000;

/** The other way round. @throws Error as `readSteps` */
export function unpackSteps(packed: string): Step[] {
  let text: string;
  try {
    const bytes = bytesOfBase64(packed.replaceAll('-', '+').replaceAll('_', '/'));
    // Into a room of this size and no more: what does not fit is no link of ours.
    text = strFromU8(inflateSync(bytes, { out: new Uint8Array(LONGEST) }));
  } catch {
    throw new Error('The steps in the link are cut off or damaged: ask for the link again.');
  }
  return readSteps(text);
}

import type { Passband } from '../light/filtered';
import type { Light } from '../light/light';
import { colourMatching } from '../light/observer';
import { encoded, linearSrgb, srgb } from '../light/srgb';
import { linearInterpolant } from '../numerics/interpolation';
import { formatNumber } from '../quantity/format-number';
import { type Layer, look, styleOf, thin } from './chart';
import { type Figure, figureOf } from './figure';
import { counted } from './shown';

interface SpectrumOptions {
  /** A filter in the beam: its band is shaded and the light behind it drawn too. */
  readonly through?: Passband;
  /** Shortest and longest wavelength shown, m. Default 380 and 780 nm. */
  readonly range?: readonly [number, number];
  readonly title?: string;
}

const nano = 1e9;
/** A faint line is still drawn this high, so that it is seen at all. */
const leastStick = 0.012;

/**
 * Power of a light against wavelength, coloured lightly under the curve; lines stand as sticks. The
 * continuum is drawn relative to its highest value in the range, lines relative to the strongest.
 *
 * @param light any light
 * @param options `through`: a passband; `range` in m
 * @returns a Figure
 * @throws RangeError when nothing of the light lies in the range
 * @example spectrumPlot(lamp('mercury')).kind // 'spectrum'
 */
export function spectrumPlot(light: Light, options: SpectrumOptions = {}): Figure {
  const [from, to] = options.range ?? [380e-9, 780e-9];
  if (!(from > 0 && to > from)) {
    throw new RangeError(
      `range is ${from} to ${to} m. Give two wavelengths in metres, the shorter first, such as [400e-9, 700e-9].`,
    );
  }
  const band = options.through;
  const layers: Layer[] = [];
  const told: string[] = [];
  const passes = band ? linearInterpolant(band.wavelengths, band.transmission) : () => 1;
  if (band) {
    const [a, b] = halfPoints(band);
    layers.push({ type: 'shade', from: a * nano, to: b * nano, name: band.name });
    told.push(
      `${band.name} lets ${formatNumber(a * nano)} to ${formatNumber(b * nano)} nm through`,
    );
  }
  const continuum = continuumIn(light, from, to);
  if (continuum) {
    const { wavelengths, power } = continuum;
    const behind = power.map((p, i) => p * passes(wavelengths[i]));
    const whole = { x: wavelengths.map((w) => w * nano), y: power };
    const name = light.name;
    if (band) layers.push(line(whole, name, { ...styleOf(1), colour: look.soft, width: 1.2 }));
    layers.push(area(wavelengths, behind));
    layers.push(
      line({ x: whole.x, y: behind }, band ? 'behind the filter' : undefined, styleOf(0)),
    );
    const peak = wavelengths[power.indexOf(Math.max(...power))] * nano;
    told.push(`continuum strongest at ${formatNumber(peak)} nm`);
  }
  const lines = (light.lines ?? []).filter((l) => l.wavelength >= from && l.wavelength <= to);
  if (lines.length) {
    const strongest = Math.max(...lines.map((l) => l.power));
    const heights = lines.map((l) => (l.power * passes(l.wavelength)) / strongest);
    const x = lines.map((l) => l.wavelength * nano);
    const colours = lines.map((l) => spectralColour(l.wavelength, 0));
    layers.push({ type: 'sticks', x, y: heights.map((h) => Math.max(h, leastStick)), colours });
    layers.push(...lineLabels(x, heights));
    told.push(
      `${counted(lines.length, 'line')}: ${x.map((nm, i) => `${formatNumber(nm, 6)} nm (${formatNumber(heights[i], 2)})`).join(', ')}`,
    );
  }
  if (!continuum && !lines.length) {
    throw new RangeError(
      `The light "${light.name}" has nothing between ${formatNumber(from * nano)} and ${formatNumber(to * nano)} nm. Choose another range.`,
    );
  }
  const medium = light.medium === 'air' ? 'in air' : 'in vacuum';
  return figureOf({
    kind: 'spectrum',
    alt: `Spectrum of ${light.name}, ${formatNumber(from * nano)} to ${formatNumber(to * nano)} nm ${medium}: ${told.join('; ')}.`,
    title: options.title ?? light.name,
    x: { quantity: `wavelength λ ${medium}`, unit: 'nm', range: [from * nano, to * nano] },
    panels: [
      {
        height: 200,
        y: { quantity: 'relative power', unit: 'ratio', range: [0, lines.length ? 1.16 : 1.08] },
        layers,
      },
    ],
  });
}

function line(
  points: { x: number[]; y: number[] },
  name: string | undefined,
  style: ReturnType<typeof styleOf>,
): Layer {
  return { type: 'line', ...thin(points.x, points.y), name, style };
}

/** Slices of 2 nm or more under the curve, each in its own pale colour. */
function area(wavelengths: readonly number[], power: readonly number[]): Layer {
  const x: number[] = [];
  const y: number[] = [];
  for (let i = 0; i < wavelengths.length; i++) {
    const place = wavelengths[i] * nano;
    if (x.length && place - x[x.length - 1] < 1.999 && i < wavelengths.length - 1) continue;
    x.push(place);
    y.push(power[i]);
  }
  const colours = x.slice(1).map((right, i) => spectralColour((right + x[i]) / 2 / nano, 0.55));
  return { type: 'area', x, y, colours };
}

/** Wavelengths above the sticks; lines too near for two labels share one, faint companions go unnamed. */
function lineLabels(x: readonly number[], heights: readonly number[]): Layer[] {
  const order = x.map((_, i) => i).sort((a, b) => x[a] - x[b]);
  const groups: number[][] = [];
  for (const i of order) {
    const group = groups[groups.length - 1];
    if (group && x[i] - x[group[group.length - 1]] < 16) group.push(i);
    else groups.push([i]);
  }
  return groups.map((group) => {
    const highest = Math.max(...group.map((i) => heights[i]));
    const named = group.filter((i) => heights[i] >= 0.3 * highest);
    const text = named.map((i) => x[i].toFixed(1)).join(', ');
    const middle = named.reduce((sum, i) => sum + x[i], 0) / named.length;
    return { type: 'text', x: middle, y: Math.max(highest, leastStick) + 0.06, text, size: 11.5 };
  });
}

/** The continuum within the range, relative to its highest value there. */
function continuumIn(light: Light, from: number, to: number) {
  const { wavelengths = [], power = [] } = light.continuum ?? {};
  const inside = wavelengths
    .map((_, i) => i)
    .filter((i) => wavelengths[i] >= from && wavelengths[i] <= to);
  const highest = Math.max(0, ...inside.map((i) => power[i]));
  if (inside.length < 2 || highest === 0) return undefined;
  return {
    wavelengths: inside.map((i) => wavelengths[i]),
    power: inside.map((i) => power[i] / highest),
  };
}

/** Where a passband rises to and falls from half of its highest transmission. */
function halfPoints(band: Passband): [number, number] {
  const half = Math.max(...band.transmission) / 2;
  const steps = 2000;
  const [first, last] = [band.wavelengths[0], band.wavelengths[band.wavelengths.length - 1]];
  const passes = linearInterpolant(band.wavelengths, band.transmission);
  const open = Array.from(
    { length: steps + 1 },
    (_, i) => first + ((last - first) * i) / steps,
  ).filter((w) => passes(w) >= half - 1e-9);
  return [open[0], open[open.length - 1]];
}

// Past these ends the eye's response is too weak to name another hue.
const shortest = 400e-9;
const longest = 700e-9;
/** Luminance at which a stroke still stands out from white paper about 3 to 1. */
const darkest = 0.26;

/** Encoded 0…1 channels as CSS writes them. */
function css(channels: readonly number[]): string {
  return `rgb(${channels.map((c) => Math.round(c * 255)).join(',')})`;
}

/**
 * A colour that stands for one wavelength on paper.
 *
 * @param wavelength λ, m; the ends of the spectrum keep the hue of 400 and 700 nm
 * @param pale share of white, 0…1; at 0 it is dark enough for a thin stroke
 */
export function spectralColour(wavelength: number, pale: number): string {
  const seen = colourMatching(Math.min(longest, Math.max(shortest, wavelength)));
  const most = Math.max(...linearSrgb(seen));
  const colour = srgb(seen, { exposure: 1 / most });
  if (pale > 0) return css(colour.map((c) => c * (1 - pale) + pale));
  const linear = colour.map((c) => ((c + 0.055) / 1.055) ** 2.4);
  const luminance = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2];
  const dim = Math.min(1, darkest / luminance);
  return css(linear.map((c) => encoded(c * dim)));
}

import { slits } from '../../aperture/aperture';
import { filmStrip } from '../../camera/film-strip';
import { changed } from '../../figures/bench/change';
import { benchPattern } from '../../figures/bench/compute';
import { type BenchSetting, startSetting } from '../../figures/bench/setting';
import { illuminant } from '../../light/illuminant';

const width = 40e-6;
const spacing = 100e-6;

/** One row of RGBA pixels. */
export type Row = Uint8ClampedArray<ArrayBuffer>;

function opaque(srgb: ArrayLike<number>): Row {
  const row: Row = new Uint8ClampedArray((srgb.length / 3) * 4).fill(255);
  for (let from = 0, to = 0; from < srgb.length; from += 3, to += 4)
    for (let channel = 0; channel < 3; channel++) row[to + channel] = srgb[from + channel];
  return row;
}

/** One row of pixels for each number of slits: a filament lamp, 26 mrad to each side. */
export function developed(counts: readonly number[], points: number): Row[] {
  const light = illuminant('A');
  return counts.map((count) => {
    const aperture = count === 1 ? slits(1, { width }) : slits(count, { width, spacing });
    return opaque(filmStrip(aperture, light, { span: 0.052, points, exposure: 2 }).srgb);
  });
}

/** The row of pixels that the bench shows in a setting. */
export const benchRow = (setting: Partial<BenchSetting>): Row =>
  opaque(benchPattern(changed(startSetting, setting)).strip.srgb);

import { type BenchPattern, type PlaceReading, readPlace } from '../../figures/bench/compute';
import { writeAngle } from '../../quantity/angle';
import { formatNumber } from '../../quantity/format-number';
import { useStore } from '../net/store';
import type { BenchModel } from './bench-model';

let last: { pattern: BenchPattern; place: number; reading: PlaceReading } | undefined;

/** What is read at the place under the pointer, for the pattern as it is now. Several parts of the bench ask in one frame. */
export function useReading(model: BenchModel): PlaceReading {
  const pattern = useStore(model.pattern);
  const place = useStore(model.place);
  if (last?.pattern !== pattern || last.place !== place)
    last = { pattern, place, reading: readPlace(pattern, place) };
  return last.reading;
}

/** The parts of a reading as they are shown. */
export function readingWords(model: BenchModel, reading: PlaceReading) {
  const { setting, reading: wavelength, gain } = model.pattern.value;
  const several = setting.slits > 1;
  return {
    deviation: writeAngle(reading.deviation, 'arcsecond'),
    angle: setting.incidence === 0 ? '' : writeAngle(reading.angle, 'arcsecond'),
    place: `${fixed(reading.place * 1e3, 3)} mm`,
    order: several ? fixed(reading.order, 2) : '',
    widths: several ? '' : fixed(reading.order, 2),
    wavelength: `${formatNumber(wavelength * 1e9, 4)} nm`,
    brightness: setting.absolute ? times(gain * reading.brightness) : percent(reading.brightness),
    intensity: percent(reading.intensity),
    colour: reading.burntOut ? `${reading.colour}, burnt out` : reading.colour,
  };
}

/** So many decimals, with a true minus sign, and none before nothing but zeros. */
function fixed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text.replace('-', '−');
}

/** Below this share the tables of white light are not trusted, and nobody sees anything. */
const NOTHING = 1e-6;

function percent(share: number): string {
  return share < NOTHING ? '0 %' : `${formatNumber(100 * share, share < 0.1 ? 2 : 3)} %`;
}

function times(share: number): string {
  return `${share < 1e-4 ? '0' : formatNumber(share, share < 0.1 ? 2 : 3)} × one slit`;
}

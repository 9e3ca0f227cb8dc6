import { type BenchPattern, type PlaceReading, readPlace } from '../../figures/bench/compute';
import { formatNumber } from '../../quantity/format-number';
import { writeAngle } from '../../quantity/write-angle';
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
  const { setting, reading: wavelength } = model.pattern.value;
  const fixed = (value: number, places: number) => value.toFixed(places).replace('-', '−');
  const length = formatNumber(wavelength * 1e9, 4);
  return {
    deviation: writeAngle(reading.deviation, 'arcsecond'),
    angle: setting.incidence === 0 ? '' : writeAngle(reading.angle, 'arcsecond'),
    place: `${fixed(reading.place * 1e3, 3)} mm`,
    order: setting.slits > 1 ? fixed(reading.order, 2) : '',
    widths: setting.slits > 1 ? '' : fixed(reading.order, 2),
    wavelength: `${length} nm`,
    brightness: percent(reading.brightness),
    intensity: percent(reading.intensity),
    colour: reading.colour,
  };
}

function percent(share: number): string {
  if (share < 5e-7) return '0 %';
  return `${formatNumber(100 * share, share < 0.1 ? 2 : 3)} %`;
}

import type { Slit } from './aperture';

/**
 * The spacing that orders are counted with. Equal gaps give the gap; a blocked slit counts as two gaps;
 * ruling errors are averaged by a straight line through the centres.
 *
 * @param slits in ascending order
 * @returns d, m; 0 for a single slit
 */
export function period(slits: readonly Slit[]): number {
  if (slits.length === 1) return 0;
  const gaps = slits.slice(1).map((slit, i) => slit.centre - slits[i].centre);
  const typical = [...gaps].sort((a, b) => a - b)[gaps.length >> 1];
  const places = [0];
  for (const gap of gaps) {
    places.push(places[places.length - 1] + Math.max(1, Math.round(gap / typical)));
  }
  const mean = places.reduce((sum, place) => sum + place, 0) / places.length;
  const middle = slits.reduce((sum, slit) => sum + slit.centre, 0) / slits.length;
  let [across, along] = [0, 0];
  places.forEach((place, i) => {
    across += (place - mean) * (slits[i].centre - middle);
    along += (place - mean) ** 2;
  });
  return across / along;
}

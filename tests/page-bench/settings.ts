import fc from 'fast-check';
import { changed } from '../../kernel-lib/figures/bench/change';
import {
  type BenchSetting,
  benchLights,
  type NumberName,
  parameters,
  startSetting,
} from '../../kernel-lib/figures/bench/setting';
import { sliderScale } from '../../kernel-lib/page/bench/slider-scale';

/** One move of one slider or choice. */
const move = fc.oneof(
  fc
    .tuple(
      fc.constantFrom(...(Object.keys(parameters) as NumberName[])),
      fc.double({ min: 0, max: 1, noNaN: true }),
    )
    .map(([name, share]) => {
      const scale = sliderScale(parameters[name]);
      return { [name]: scale.value(Math.round(share * scale.last)) };
    }),
  fc.constantFrom(...benchLights).map((light) => ({ light })),
  fc.boolean().map((filter) => ({ filter })),
  fc.boolean().map((absolute) => ({ absolute })),
  fc.constantFrom('linear' as const, 'log' as const).map((scale) => ({ scale })),
);

/** Settings as moves of sliders reach them: moves that the bench refuses change nothing. */
export const settings: fc.Arbitrary<BenchSetting> = fc
  .array(move, { minLength: 1, maxLength: 14 })
  .map((moves) =>
    moves.reduce((setting: BenchSetting, change) => {
      try {
        return changed(setting, change);
      } catch {
        return setting;
      }
    }, startSetting),
  );

import { useStore } from '../net/store';
import type { BenchModel } from './bench-model';
import { StillFilm } from './film-canvas';

const series = [1, 2, 3, 5, 8, 16];

/** Strips kept for comparison, on the same axis as the strip above when the film shown is the same. */
export function Pins({ model }: { model: BenchModel }) {
  const pins = useStore(model.pins);
  const why = useStore(model.pinFault);
  return (
    <section class="pins" aria-labelledby="pins-title">
      <div class="head">
        <h2 id="pins-title">Strips to compare</h2>
        <button type="button" onClick={() => model.pin([model.setting.value])}>
          Pin this strip
        </button>
        <button type="button" onClick={() => model.pinCounts(series)}>
          Pin {series.join(', ')} slits
        </button>
        {pins.length > 0 && (
          <button type="button" onClick={() => model.unpinAll()}>
            Take all down
          </button>
        )}
      </div>
      {why && (
        <p class="why" role="alert">
          {why}
        </p>
      )}
      {pins.length > 0 && (
        <ul>
          {pins.map(({ id, pattern, label, taken }) => (
            <li key={id}>
              <div class="still" role="img" aria-label={`Film strip: ${label}, ${taken}`}>
                <StillFilm pattern={pattern} />
              </div>
              <span class="label">
                <b>{label.split(', ')[0]}</b>
                {label.slice(label.indexOf(','))}, {taken}
              </span>
              <span class="acts">
                <button
                  type="button"
                  class="quiet"
                  aria-label={`Use this setting: ${label}, ${taken}`}
                  onClick={() => model.show(pattern.setting)}
                >
                  Use this setting
                </button>
                <button
                  type="button"
                  class="quiet"
                  aria-label={`Take down: ${label}, ${taken}`}
                  onClick={() => model.unpin(id)}
                >
                  Take down
                </button>
              </span>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

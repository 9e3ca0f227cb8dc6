import type { BenchModel } from './bench-model';
import { readingWords, useReading } from './use-reading';

/** What is to be read under the pointer, in words and numbers. */
export function Readout({ model }: { model: BenchModel }) {
  const reading = useReading(model);
  const words = readingWords(model, reading);
  return (
    <dl class="readout">
      <div class="first">
        <dt>{words.angle ? 'from the beam' : 'angle'}</dt>
        <dd>{words.deviation}</dd>
      </div>
      {words.angle && (
        <div class="first">
          <dt>from the normal</dt>
          <dd>{words.angle}</dd>
        </div>
      )}
      <div class="first">
        <dt>on the film</dt>
        <dd>{words.place}</dd>
      </div>
      {words.order ? (
        <div class="first">
          <dt>order at {words.wavelength}</dt>
          <dd>{words.order}</dd>
        </div>
      ) : (
        <div class="first">
          <dt>
            <i>a</i> sin <i>θ</i> / <i>λ</i> at {words.wavelength}
          </dt>
          <dd>{words.widths}</dd>
        </div>
      )}
      <div>
        <dt>brightness</dt>
        <dd>{words.brightness}</dd>
      </div>
      <div>
        <dt>colour</dt>
        <dd>{words.colour}</dd>
      </div>
    </dl>
  );
}

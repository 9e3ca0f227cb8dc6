import { useStore } from '../net/store';
import type { BenchModel } from './bench-model';
import { FootCaution } from './caution';
import { Controls } from './controls';
import { Curve } from './curve';
import { LiveFilm } from './film-canvas';
import { FilmReader } from './film-reader';
import { PhasorView } from './phasor-view';
import { Pins } from './pins';
import { Readout } from './readout';
import { Schematic } from './schematic';
import { Share } from './share';
import { StepsView } from './steps-view';

/** The live bench: what stands in the beam, what the film shows, and all that can be moved. */
export function Bench({
  model,
  inCell = false,
  linked = true,
}: {
  model: BenchModel;
  /** Among other things: without the steps. */
  inCell?: boolean;
  /** On a desk, where a link to the bench leads somewhere. */
  linked?: boolean;
}) {
  return (
    <>
      <div class="seen">
        {!inCell && <StepsView model={model} />}
        <Schematic model={model} />
        <FilmReader model={model}>
          <LiveFilm pattern={model.pattern} />
          <Curve model={model} />
        </FilmReader>
        <Legend model={model} />
        <div class="read">
          <Readout model={model} />
          <PhasorView model={model} />
        </div>
      </div>
      <div class="moved">
        <Controls model={model} />
      </div>
      <div class="kept">
        <Pins model={model} />
        <Share model={model} linked={linked} />
      </div>
      <FootCaution model={model} />
    </>
  );
}

/** Which line is which. */
function Legend({ model }: { model: BenchModel }) {
  const { single, reading, setting, strip } = useStore(model.pattern);
  const ghost = useStore(model.ghost);
  return (
    <p class="legend">
      <span class="key" data-line="brightness">
        {setting.absolute
          ? 'brightness against the middle of one slit alone'
          : 'brightness against that in the middle'}
      </span>
      {single && (
        <span class="key" data-line="single">
          {Number((reading * 1e9).toPrecision(5))} nm alone
        </span>
      )}
      {ghost && (
        <span class="key" data-line="ghost">
          before the last change
        </span>
      )}
      {strip.burntOut.includes(1) && (
        <span class="key" data-line="burnt">
          over the film: burnt out, more light than it can show
        </span>
      )}
    </p>
  );
}

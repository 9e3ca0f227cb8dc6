import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { writeAddress } from '../../figures/bench/address';
import { liveCode, stripCode } from '../../figures/bench/describe';
import { isEnd } from '../../figures/bench/ends';
import { type Layers, layersPart } from '../../figures/bench/layers';
import type { BenchSetting } from '../../figures/bench/setting';
import type { Asking } from '../../travels/room-talk';
import { useSettled, useStore, useValue } from '../store';
import type { BenchModel } from './bench-model';
import { FootCaution } from './caution';
import { ColourView } from './colour-view';
import { Controls } from './controls';
import { type Answering, AnswerMarks, Covered, SaidInWords, WasExpected } from './covered-film';
import { Curve } from './curve';
import { FilmBefore, FilmReader, LiveFilm, StillFilm } from './film';
import { Announced, FilmSentence, LayerSwitches, legendKeys, PathsView } from './layers';
import { PhasorView, Readout } from './reading';
import { Schematic } from './schematic';
import { Spectrometer } from './spectrometer';
import { StepsView } from './steps';
import type { Expected, Walk } from './walk';

/** The live bench: what stands in the beam, what the film shows, and all that can be moved. */
export function Bench({
  model,
  walk,
  answering,
  expected,
  page,
  forClass = false,
  children,
}: {
  model: BenchModel;
  /** The way through its steps; none among other things. */
  walk?: Walk;
  /** A room that waits for answers. */
  answering?: Answering;
  /** What was expected of what is shown, where no steps are gone through here. */
  expected?: ShownAbove;
  /** The address of the bench as a page; without one no link can be sent. */
  page?: string;
  /** While a class looks on, what can be switched stands among what can be moved. */
  forClass?: boolean;
  /** What else is kept below. */
  children?: ComponentChildren;
}) {
  const stand = useValue(model.setting, (setting) => setting.stand);
  return (
    <>
      <div class="seen">
        {walk && <StepsView walk={walk} />}
        {walk ? (
          <Asked model={model} walk={walk} answering={answering} />
        ) : (
          <Seen model={model} expected={expected} />
        )}
      </div>
      <div class="moved">
        {forClass && stand === 'film' && <LayerSwitches model={model} />}
        <Controls model={model} />
      </div>
      <div class="kept">
        {stand !== 'spectrometer' && <Pins model={model} />}
        <Share model={model} page={page} />
        {children}
      </div>
      <FootCaution model={model} />
    </>
  );
}

/** What was expected, and of which question. */
export interface ShownAbove {
  readonly of: Expected;
  readonly asks: Asking;
  /** Direction sine of the places that are asked about. */
  readonly at?: number;
}

/** What the film shows, under what was expected of it, and what is read there. */
function Film({ model, expected }: { model: BenchModel; expected?: ShownAbove }) {
  const isPlain = useValue(model.setting, isEnd);
  const words = useValue(model.pattern, (pattern) => pattern.words);
  return (
    <>
      {expected && <WasExpected of={expected.of} />}
      <FilmReader model={model}>
        <LiveFilm pattern={model.pattern} />
        <FilmBefore model={model} />
        <Curve model={model}>{expected && <AnswerMarks model={model} {...expected} />}</Curve>
      </FilmReader>
      <Legend model={model} />
      {isPlain ? (
        <div class="read ends">
          <p class="ends-words">{words}</p>
          <Readout model={model} />
        </div>
      ) : (
        <>
          <FilmSentence model={model} />
          <LayerSwitches model={model} />
          <div class="read">
            <Readout model={model} />
            <PhasorView model={model} />
            <PathsView model={model} />
            <ColourView model={model} />
          </div>
        </>
      )}
      <Announced model={model} />
    </>
  );
}

/** What stands on the bench, and what it shows. */
function Seen({ model, expected }: { model: BenchModel; expected?: ShownAbove }) {
  const stand = useValue(model.setting, (setting) => setting.stand);
  if (stand === 'spectrometer')
    return (
      <>
        {expected && <SaidInWords {...expected} />}
        <Spectrometer model={model} />
      </>
    );
  return (
    <>
      <Schematic model={model} />
      <Film model={model} expected={expected} />
    </>
  );
}

/** The same behind the question of a step: nothing of it is to be seen before it was asked. */
function Asked({
  model,
  walk,
  answering,
}: {
  model: BenchModel;
  walk: Walk;
  answering?: Answering;
}) {
  const place = useStore(walk.place);
  const step = place && walk.steps.value[place.step];
  const stand = useValue(model.setting, (setting) => setting.stand);
  if (place?.phase === 'ask')
    return (
      <>
        {stand !== 'spectrometer' && <Schematic model={model} />}
        <Covered walk={walk} answering={answering} />
      </>
    );
  return <Seen model={model} expected={step && { of: walk, asks: step.asks, at: step.at }} />;
}

/** Which line is which. */
function Legend({ model }: { model: BenchModel }) {
  const pattern = useStore(model.pattern);
  const keys = legendKeys(pattern, useStore(model.ghost), useStore(model.layers));
  return (
    <p class="legend">
      {keys.map(({ line, words }) => (
        <span key={line} class="key" data-line={line}>
          {words}
        </span>
      ))}
    </p>
  );
}

const series = [1, 2, 3, 5, 8, 16];

/** Strips kept for comparison, on the same axis as the strip above when the film shown is the same. */
function Pins({ model }: { model: BenchModel }) {
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

const isFarField = (setting: BenchSetting) => setting.stand === 'film' && !isEnd(setting);

type How = 'live' | 'strip' | 'link';

function textFor(
  how: How,
  setting: BenchSetting,
  pinned: readonly BenchSetting[],
  page: string,
  layers: Layers,
): string {
  if (how === 'strip' && !isFarField(setting)) return liveCode(setting);
  if (how === 'link')
    return `${page}#${[writeAddress(setting, pinned), layersPart(layers)].filter(Boolean).join('&')}`;
  return how === 'live' ? liveCode(setting) : stripCode(setting);
}

/** The setting to send on: as a link, as the bench in a cell, as a film strip in a cell. */
function Share({ model, page = '' }: { model: BenchModel; page?: string }) {
  const setting = useSettled(model.setting, 200);
  useStore(model.pins);
  const [how, setHow] = useState<How>('live');
  const [done, setDone] = useState('');
  const layers = useStore(model.layers);
  const text = textFor(how, setting, model.pinned(), page, layers);
  const copy = async () => {
    try {
      const { setting: now, layers: shown } = model;
      await navigator.clipboard.writeText(
        textFor(how, now.value, model.pinned(), page, shown.value),
      );
      setDone('Copied.');
    } catch {
      setDone('The browser does not let the page copy: select the text and copy it.');
    }
  };
  const choices = (
    [
      ['live', 'Bench in a cell'],
      ['strip', 'Film strip in a cell'],
      ['link', 'Link'],
    ] as const
  ).filter(([name]) => (name !== 'link' || page) && (name !== 'strip' || isFarField(setting)));
  return (
    <section class="share" aria-labelledby="share-title">
      <div class="head">
        <h2 id="share-title">Send this setting</h2>
        {choices.map(([name, words]) => (
          <button
            key={name}
            type="button"
            aria-pressed={how === name}
            onClick={() => {
              setHow(name);
              setDone('');
            }}
          >
            {words}
          </button>
        ))}
        <button type="button" class="main" onClick={copy}>
          Copy
        </button>
        <span role="status">{done}</span>
      </div>
      <pre>{text}</pre>
      {how === 'link' && (
        <p class="note">
          The link opens on this computer while the worksheets are open; what stands behind #
          carries the setting and the strips to compare, so it may also be pasted behind the # of a
          bench on another computer.
        </p>
      )}
    </section>
  );
}

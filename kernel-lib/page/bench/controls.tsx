import { useEffect, useId, useMemo, useRef, useState } from 'preact/hooks';
import { readable } from '../../figures/bench/change';
import { touchingWords } from '../../figures/bench/describe';
import { isEnd } from '../../figures/bench/ends';
import {
  type BenchLight,
  type BenchSetting,
  benchLights,
  fromUnits,
  inUnit,
  type NumberName,
  parameters,
  writeValue,
} from '../../figures/bench/setting';
import { useStore, useValue } from '../store';
import type { BenchModel } from './bench-model';
import { sliderScale, stepped } from './slider-scale';

const lightNames: Record<BenchLight, string> = {
  filament: 'Filament lamp',
  sunlight: 'Sunlight',
  sodium: 'Sodium lamp',
  mercury: 'Mercury lamp',
  cadmium: 'Cadmium lamp',
  helium: 'Helium lamp',
  hydrogen: 'Hydrogen lamp',
  laser: 'Laser',
};

/** All that can be moved, in the order in which light goes through the bench. */
export function Controls({ model }: { model: BenchModel }) {
  const light = useValue(model.setting, (setting) => setting.light);
  const filter = useValue(model.setting, (setting) => setting.filter);
  const several = useValue(model.setting, (setting) => setting.slits > 1);
  const errors = useValue(model.setting, (setting) => setting.placeError > 0);
  const stand = useValue(model.setting, (setting) => setting.stand);
  const isSpectrometer = stand === 'spectrometer';
  const isFromAfar = useValue(model.setting, ({ beam }) => beam === 'distance');
  const hasBeam = stand === 'film' || stand === 'screen';
  const isPlain = useValue(model.setting, isEnd);
  return (
    <div class="controls">
      <fieldset>
        <legend>On the table</legend>
        <Choice
          model={model}
          name="stand"
          label="In the light"
          options={[
            ['film', 'slits, and film behind a lens'],
            ['screen', 'slits, and a screen without a lens'],
            ['open', 'no obstacle: the slit’s image'],
            ['spectrometer', 'a grating in a spectrometer'],
          ]}
        />
      </fieldset>
      <fieldset>
        <legend>Light</legend>
        <Choice
          model={model}
          name="light"
          label="Source"
          options={benchLights.map((name) => [name, lightNames[name]])}
        />
        <Caution light={light} isSpectrometer={isSpectrometer} />
        {light === 'laser' ? (
          <ParameterRow model={model} name="wavelength" />
        ) : (
          <Switch model={model} name="filter" label="Filter with one passband" />
        )}
        {light !== 'laser' && filter && (
          <>
            <ParameterRow model={model} name="bandCentre" />
            <ParameterRow model={model} name="bandWidth" />
          </>
        )}
        <ParameterRow model={model} name="sourceWidth" />
        {hasBeam && (
          <Choice
            model={model}
            name="beam"
            label="Parallel by"
            options={[
              ['collimator', 'a lens, the collimator'],
              ['distance', 'distance alone'],
            ]}
          />
        )}
        <ParameterRow
          model={model}
          name={hasBeam && isFromAfar ? 'sourceDistance' : 'collimatorFocalLength'}
        />
      </fieldset>
      {isSpectrometer ? (
        <SpectrometerControls model={model} />
      ) : (
        <>
          {stand !== 'open' && (
            <fieldset>
              <legend>Slits</legend>
              <ParameterRow model={model} name="slits" />
              <ParameterRow model={model} name="width" />
              {several && (
                <>
                  <ParameterRow model={model} name="spacing" />
                  <Touching model={model} />
                  <Blocked model={model} />
                  <ParameterRow model={model} name="placeError" />
                  {errors && <ParameterRow model={model} name="ruling" />}
                </>
              )}
              {!isPlain && <ParameterRow model={model} name="incidence" />}
            </fieldset>
          )}
          <fieldset>
            <legend>{stand === 'screen' ? 'Screen' : 'Camera'}</legend>
            <ParameterRow
              model={model}
              name={stand === 'screen' ? 'screenDistance' : 'focalLength'}
            />
            {stand === 'open' && (
              <>
                <ParameterRow model={model} name="lensDiameter" />
                <ParameterRow model={model} name="blur" />
              </>
            )}
            <ParameterRow model={model} name="span" />
            <ParameterRow model={model} name="exposure" />
            <Choice
              model={model}
              name="scale"
              label="Brightness"
              options={[
                ['linear', 'linear'],
                ['log', 'logarithmic, 4 decades'],
              ]}
            />
            {!isPlain && (
              <Switch model={model} name="absolute" label="Absolute: against one slit alone" />
            )}
            {light !== 'laser' && <Reading model={model} />}
          </fieldset>
        </>
      )}
    </div>
  );
}

/** What a spectrometer has in the place of slits and camera. */
function SpectrometerControls({ model }: { model: BenchModel }) {
  const light = useValue(model.setting, (setting) => setting.light);
  const isEccentric = useValue(model.setting, (setting) => setting.eccentricity > 0);
  return (
    <>
      <fieldset>
        <legend>Grating</legend>
        <ParameterRow model={model} name="linesPerMm" />
        <ParameterRow model={model} name="ruled" />
        <ParameterRow model={model} name="incidence" />
      </fieldset>
      <fieldset>
        <legend>Telescope</legend>
        <ParameterRow model={model} name="telescope" />
        <ParameterRow model={model} name="field" />
        <ParameterRow model={model} name="exposure" />
        {light !== 'laser' && <Reading model={model} />}
      </fieldset>
      <fieldset>
        <legend>Divided circle</legend>
        <Choice
          model={model}
          name="vernier"
          label="Verniers, to"
          options={[
            ['1min', '1′'],
            ['30sec', '30″'],
            ['20sec', '20″'],
            ['10sec', '10″'],
          ]}
        />
        <ParameterRow model={model} name="circleZero" />
        <ParameterRow model={model} name="eccentricity" />
        {isEccentric && <ParameterRow model={model} name="offCentre" />}
        <ParameterRow model={model} name="magnifier" />
      </fieldset>
    </>
  );
}

/** The wavelength that is read: any of a band, or one of a lamp's lines. */
function Reading({ model }: { model: BenchModel }) {
  const setting = useStore(model.setting);
  const id = useId();
  const has = readable(setting);
  if (!('lines' in has)) return <ParameterRow model={model} name="reading" />;
  const number = (wavelength: number) => String(inUnit(parameters.reading, wavelength));
  const choose = (event: { currentTarget: HTMLSelectElement }) =>
    model.change({ reading: fromUnits(parameters.reading, Number(event.currentTarget.value)) });
  return (
    <div class="parameter">
      <label for={id}>{parameters.reading.label}</label>
      <select id={id} value={number(setting.reading)} onChange={choose}>
        {has.lines.map((line) => (
          <option key={line} value={number(line)}>
            {writeValue(parameters.reading, line)}
          </option>
        ))}
      </select>
      <FaultOf model={model} name="reading" />
    </div>
  );
}

/** Said once slits have merged, which no longer looks like slits. */
function Touching({ model }: { model: BenchModel }) {
  const words = useValue(model.setting, touchingWords);
  return (
    <p class="told" role="status">
      {words}
    </p>
  );
}

function Switch({
  model,
  name,
  label,
}: {
  model: BenchModel;
  name: 'filter' | 'absolute';
  label: string;
}) {
  const on = useValue(model.setting, (setting) => setting[name]);
  return (
    <>
      <label class="tick">
        <input
          type="checkbox"
          checked={on}
          onChange={(event) => {
            model.change({ [name]: event.currentTarget.checked });
            event.currentTarget.checked = model.setting.value[name];
          }}
        />
        {label}
      </label>
      <FaultOf model={model} name={name} />
    </>
  );
}

function Choice<Name extends 'light' | 'scale' | 'stand' | 'beam' | 'vernier'>({
  model,
  name,
  label,
  options,
}: {
  model: BenchModel;
  name: Name;
  label: string;
  options: readonly (readonly [BenchSetting[Name], string])[];
}) {
  const value = useValue(model.setting, (setting) => setting[name]);
  const id = useId();
  const choose = (event: { currentTarget: HTMLSelectElement }) => {
    model.change({ [name]: event.currentTarget.value });
    event.currentTarget.value = model.setting.value[name];
  };
  return (
    <div class="parameter">
      <label for={id}>{label}</label>
      <select id={id} value={value} onChange={choose}>
        {options.map(([option, words]) => (
          <option key={option} value={option}>
            {words}
          </option>
        ))}
      </select>
      <FaultOf model={model} name={name} />
    </div>
  );
}

function Blocked({ model }: { model: BenchModel }) {
  const count = useValue(model.setting, (setting) => setting.slits);
  const blocked = useValue(model.setting, (setting) => setting.blocked);
  const id = useId();
  return (
    <div class="parameter">
      <label for={id}>Blocked slit</label>
      <select
        id={id}
        value={String(blocked)}
        onChange={(event) => model.change({ blocked: Number(event.currentTarget.value) })}
      >
        <option value="0">none</option>
        {Array.from({ length: count }, (_, i) => (
          <option key={i} value={String(i + 1)}>
            {i + 1} of {count}
          </option>
        ))}
      </select>
      <FaultOf model={model} name="blocked" />
    </div>
  );
}

function FaultOf({ model, name }: { model: BenchModel; name: keyof BenchSetting }) {
  const fault = useValue(model.fault, (now) => (now?.at === name ? now.what : ''));
  return fault ? (
    <p class="why" role="alert">
      {fault}
    </p>
  ) : null;
}

/** One number: its name, a slider with a step to each side, and a field to type in. */
function ParameterRow({ model, name }: { model: BenchModel; name: NumberName }) {
  const parameter = parameters[name];
  const value = useValue(model.setting, (setting) => setting[name]);
  const fault = useValue(model.fault, (now) => (now?.at === name ? now.what : ''));
  const scale = useMemo(() => sliderScale(parameter), [parameter]);
  const written = writeValue(parameter, value);
  const [typed, setTyped] = useState<string>();
  const slider = useRef<HTMLInputElement>(null);
  const id = useId();
  const position = scale.position(value);

  // A slider that was moved farther than it may go comes back.
  useEffect(() => {
    if (slider.current && Number(slider.current.value) !== position)
      slider.current.value = String(position);
  });

  const slide = (event: { currentTarget: HTMLInputElement }) => {
    setTyped(undefined);
    model.slide(name, scale.value(Number(event.currentTarget.value)));
    event.currentTarget.value = String(scale.position(model.setting.value[name]));
  };
  const step = (by: 1 | -1) => {
    setTyped(undefined);
    model.slide(name, stepped(name, model.setting.value[name], by));
  };
  const take = () => {
    if (typed === undefined) return;
    if (model.type(name, typed)) setTyped(undefined);
  };
  const keys = (event: KeyboardEvent) => {
    if (event.key === 'Enter') take();
    if (event.key === 'Escape') {
      setTyped(undefined);
      model.fault.set(undefined);
    }
  };

  return (
    <div class="parameter" data-parameter={name}>
      <label for={id}>{parameter.label}</label>
      <button
        type="button"
        class="step"
        aria-label={`${parameter.label}: less`}
        onClick={() => step(-1)}
      >
        −
      </button>
      <input
        ref={slider}
        type="range"
        min={0}
        max={scale.last}
        step={1}
        value={position}
        aria-label={`${parameter.label}, slider`}
        aria-valuetext={written}
        onInput={slide}
      />
      <button
        type="button"
        class="step"
        aria-label={`${parameter.label}: more`}
        onClick={() => step(1)}
      >
        +
      </button>
      <input
        id={id}
        class="typed"
        type="text"
        inputMode={parameter.unit === '1' ? 'numeric' : 'text'}
        autoComplete="off"
        spellcheck={false}
        value={typed ?? written}
        aria-invalid={fault !== ''}
        aria-describedby={fault ? `${id}-why` : undefined}
        onInput={(event) => setTyped(event.currentTarget.value)}
        onKeyDown={keys}
        onBlur={take}
      />
      {fault && (
        <p class="why" id={`${id}-why`} role="alert">
          {fault}
        </p>
      )}
    </div>
  );
}

const rules = 'Local rules and the responsible safety officer decide.';

const words: Partial<Record<BenchLight, string>> = {
  sunlight: `On a real bench: sunlight through a lens can blind and burn. Never look along the beam, nor through the camera lens or a telescope, nor at the mirror that brings the sun in. ${rules}`,
  laser: `On a real bench: never let the beam, or its reflection, meet an eye, nor look at it through a lens or telescope; know the laser’s class, and keep the beam below or above eye level. ${rules}`,
  filament: `On a real bench: the bulb, its housing and the condenser burn fingers, also for a while after; do not look into the gathered beam, nor through a lens at the filament. The mains lead stays whole and dry. ${rules}`,
  mercury: `On a real bench: a mercury lamp gives ultraviolet light, gets hot, and holds mercury. Keep its glass and housing on, do not look into it, and leave the room and tell someone if it breaks. ${rules}`,
  cadmium: `On a real bench: a cadmium lamp gives ultraviolet light, gets hot, and holds cadmium. Keep its housing on, do not look into it, and leave the room and tell someone if it breaks. ${rules}`,
};

const lamp = `On a real bench: a discharge lamp gets hot and its supply gives a high voltage. Keep the housing on, do not look into it, and switch off before you change anything. ${rules}`;

const sunInSpectrometer = `On a real spectrometer: the sun in the telescope blinds at once. Never turn slit or telescope to the sun, nor send its beam into the slit while anyone looks in: take the light of the sky, or of white paper in the sun. ${rules}`;

/** What can hurt where a light is used for real. */
export const cautionFor = (light: BenchLight): string => words[light] ?? lamp;

/** What can hurt where this bench stands in a room; the screen cannot. */
function Caution({ light, isSpectrometer }: { light: BenchLight; isSpectrometer: boolean }) {
  const said = light === 'sunlight' && isSpectrometer ? sunInSpectrometer : cautionFor(light);
  return <p class="caution">{said}</p>;
}

/** The same at the foot, for a large view and for paper, where the controls are not in sight. */
export function FootCaution({ model }: { model: BenchModel }) {
  const light = useValue(model.setting, (setting) => setting.light);
  const isSpectrometer = useValue(model.setting, ({ stand }) => stand === 'spectrometer');
  return (
    <footer class="foot">
      <Caution light={light} isSpectrometer={isSpectrometer} />
    </footer>
  );
}

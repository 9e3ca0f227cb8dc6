import { useId } from 'preact/hooks';
import { readable } from '../../figures/bench/change';
import { choices, touchingWords } from '../../figures/bench/describe';
import { isEnd } from '../../figures/bench/ends';
import {
  type BenchSetting,
  fromUnits,
  inUnit,
  parameters,
  writeValue,
} from '../../figures/bench/setting';
import { useStore, useValue } from '../store';
import type { BenchModel } from './bench-model';
import { Caution } from './caution';
import { FaultOf, ParameterRow } from './parameter-row';

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
        <Choice model={model} name="stand" />
      </fieldset>
      <fieldset>
        <legend>Light</legend>
        <Choice model={model} name="light" />
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
        {hasBeam && <Choice model={model} name="beam" />}
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
            <Choice model={model} name="scale" />
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
        <Choice model={model} name="vernier" />
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
  const has = readable(useStore(model.setting));
  if (!('lines' in has)) return <ParameterRow model={model} name="reading" />;
  const number = (wavelength: number) => String(inUnit(parameters.reading, wavelength));
  return (
    <SelectRow
      model={model}
      name="reading"
      label={parameters.reading.label}
      options={has.lines.map((line) => [number(line), writeValue(parameters.reading, line)])}
      stands={({ reading }) => number(reading)}
      onChoose={(one) => model.change({ reading: fromUnits(parameters.reading, Number(one)) })}
    />
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

function Choice({ model, name }: { model: BenchModel; name: keyof typeof choices }) {
  const { label, words } = choices[name];
  return (
    <SelectRow
      model={model}
      name={name}
      label={label}
      options={Object.entries(words)}
      stands={(setting) => setting[name]}
      onChoose={(one) => model.change({ [name]: one })}
    />
  );
}

function Blocked({ model }: { model: BenchModel }) {
  const count = useValue(model.setting, (setting) => setting.slits);
  const each = Array.from({ length: count }, (_, i) => [String(i + 1), `${i + 1} of ${count}`]);
  return (
    <SelectRow
      model={model}
      name="blocked"
      label={parameters.blocked.label}
      options={[['0', 'none'], ...(each as [string, string][])]}
      stands={({ blocked }) => String(blocked)}
      onChoose={(one) => model.change({ blocked: Number(one) })}
    />
  );
}

/** One of several: its name, and what there is to choose from. */
function SelectRow({
  model,
  name,
  label,
  options,
  stands,
  onChoose,
}: {
  model: BenchModel;
  name: keyof BenchSetting;
  label: string;
  options: readonly (readonly [string, string])[];
  /** Which of them stands in a setting. */
  stands: (setting: BenchSetting) => string;
  onChoose: (option: string) => void;
}) {
  const value = useValue(model.setting, stands);
  const id = useId();
  const choose = (event: { currentTarget: HTMLSelectElement }) => {
    onChoose(event.currentTarget.value);
    // What was refused comes back.
    event.currentTarget.value = stands(model.setting.value);
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

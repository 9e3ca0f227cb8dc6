import { useId } from 'preact/hooks';
import { touchingWords } from '../../figures/bench/describe';
import { parameters } from '../../figures/bench/parameters';
import { readable } from '../../figures/bench/readable';
import { type BenchLight, type BenchSetting, benchLights } from '../../figures/bench/setting';
import { fromUnits, inUnit, writeValue } from '../../figures/bench/values';
import { useStore } from '../net/store';
import type { BenchModel } from './bench-model';
import { Caution } from './caution';
import { ParameterRow } from './parameter-row';
import { useValue } from './use-value';

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
  return (
    <div class="controls">
      <fieldset>
        <legend>Light</legend>
        <Choice
          model={model}
          name="light"
          label="Source"
          options={benchLights.map((name) => [name, lightNames[name]])}
        />
        <Caution light={light} />
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
        <ParameterRow model={model} name="collimatorFocalLength" />
      </fieldset>
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
        <ParameterRow model={model} name="incidence" />
      </fieldset>
      <fieldset>
        <legend>Camera</legend>
        <ParameterRow model={model} name="focalLength" />
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
        <Switch model={model} name="absolute" label="Absolute: against one slit alone" />
        {light !== 'laser' && <Reading model={model} />}
      </fieldset>
    </div>
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

function Choice<Name extends 'light' | 'scale'>({
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

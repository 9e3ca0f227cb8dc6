import { useEffect, useId, useMemo, useRef, useState } from 'preact/hooks';
import {
  type BenchSetting,
  type NumberName,
  parameters,
  writeValue,
} from '../../figures/bench/setting';
import { useValue } from '../store';
import type { BenchModel } from './bench-model';
import { sliderScale, stepped } from './slider-scale';

/** One number: its name, a slider with a step to each side, and a field to type in. */
export function ParameterRow({ model, name }: { model: BenchModel; name: NumberName }) {
  const parameter = parameters[name];
  const value = useValue(model.setting, (setting) => setting[name]);
  const isRefused = useValue(model.fault, (now) => now?.at === name);
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
        aria-invalid={isRefused}
        aria-describedby={isRefused ? `${id}-why` : undefined}
        onInput={(event) => setTyped(event.currentTarget.value)}
        onKeyDown={keys}
        onBlur={take}
      />
      <FaultOf model={model} name={name} id={`${id}-why`} />
    </div>
  );
}

/** What is wrong with what was last asked for, at its own place. */
export function FaultOf({
  model,
  name,
  id,
}: {
  model: BenchModel;
  name: keyof BenchSetting;
  id?: string;
}) {
  const fault = useValue(model.fault, (now) => (now?.at === name ? now.what : ''));
  return fault ? (
    <p class="why" id={id} role="alert">
      {fault}
    </p>
  ) : null;
}

import { createContext } from 'preact';
import { useContext, useEffect, useId, useState } from 'preact/hooks';
import { movableType, type Slider } from '../../figures/movable';
import type { MimeData } from '../../notebook/notebook';
import { formatNumber } from '../../quantity/format-number';

/** Moves a slider of the cell around it; undefined where nothing can be moved. */
export const Move = createContext<((slider: string, value: number) => void) | undefined>(undefined);

/** The slider in an output, if it is a well-formed one: outputs may come from anywhere. */
export function sliderIn(data: MimeData): Slider | undefined {
  const slider = data[movableType] as Partial<Slider> | undefined;
  if (typeof slider !== 'object' || slider === null) return undefined;
  const { id, label, unit, value, start, from, to, step } = slider;
  const isText = [id, label, unit].every((text) => typeof text === 'string');
  const areNumbers = [value, start, from, to, step].every(Number.isFinite);
  if (!isText || !areNumbers) return undefined;
  const fits = (from as number) < (to as number) && (step as number) > 0;
  return fits ? (slider as Slider) : undefined;
}

/** A slider with a box for its number. What depends on it follows as it moves. */
export function MovableView({ slider }: { slider: Slider }) {
  const { id, label, unit, start, from, to, step } = slider;
  const move = useContext(Move);
  const field = useId();
  // Where the reader has it, until the cell says the same.
  const [mine, setMine] = useState<number>();
  const [fault, setFault] = useState('');
  const value = mine ?? slider.value;
  useEffect(() => setMine((kept) => (kept === slider.value ? undefined : kept)), [slider]);
  useEffect(() => setMine(undefined), [id, start, from, to]);

  const go = (next: number) => {
    if (!(next >= from && next <= to)) {
      setFault(`Give a number from ${shown(from)} to ${shown(to)}${unit}.`);
      return;
    }
    setFault('');
    if (next === value) return;
    setMine(next);
    move?.(id, next);
  };
  const named = unit === '' ? label : `${label}, ${unit.trim()}`;
  return (
    <div class="movable">
      <label for={field}>{named}</label>
      <input
        id={field}
        type="range"
        min={from}
        max={to}
        step={step}
        value={value}
        aria-valuetext={`${shown(value)}${unit}`}
        disabled={!move}
        onInput={(event) => go(event.currentTarget.valueAsNumber)}
      />
      <span class="number">
        <input
          class="typed"
          type="number"
          inputMode="decimal"
          min={from}
          max={to}
          step="any"
          value={value}
          aria-label={`${named}: the number`}
          aria-invalid={fault !== ''}
          disabled={!move}
          onChange={(event) => go(event.currentTarget.valueAsNumber)}
        />
        {unit}
      </span>
      <p class="reach">
        {fault ? (
          <span class="fault" role="alert">
            {fault}
          </span>
        ) : (
          `from ${shown(from)} to ${shown(to)}${unit}`
        )}
        {value !== start && (
          <>
            {'; '}the cell says {shown(start)}
            {unit}, and is marked with that.{' '}
            <button type="button" class="quiet" onClick={() => go(start)}>
              Back to {shown(start)}
              {unit}
            </button>
          </>
        )}
      </p>
    </div>
  );
}

const shown = (value: number) => formatNumber(value, 6);

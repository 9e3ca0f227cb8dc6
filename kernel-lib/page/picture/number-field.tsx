import { useEffect, useRef, useState } from 'preact/hooks';

interface Props {
  label: string;
  /** Behind the box. */
  unit?: string;
  /** In that unit; NaN: nothing is typed yet. */
  value: number;
  onChange: (value: number) => void;
  /** Only whole numbers. */
  whole?: boolean;
  /** More of the label, for screen readers only. */
  of?: string;
}

/** A number as people type it, with a comma as well. */
export const typedNumber = (text: string): number =>
  /^\s*[-−+]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[-+]?\d+)?\s*$/i.test(text)
    ? Number(text.replace(',', '.').replace('−', '-'))
    : Number.NaN;

const textOf = (value: number): string => (Number.isFinite(value) ? String(value) : '');

/** A box for a number. What is no number yet changes nothing, and is said so. */
export function NumberField({ label, unit, value, onChange, whole, of }: Props) {
  const [text, setText] = useState(textOf(value));
  const box = useRef<HTMLInputElement>(null);
  const isNumber = (typed: number) => Number.isFinite(typed) && (!whole || Number.isInteger(typed));
  // What is set elsewhere, by a drag, takes the place of what was typed.
  useEffect(() => {
    const same = Object.is(typedNumber(text), value) || (text === '' && Number.isNaN(value));
    if (!same && document.activeElement !== box.current) setText(textOf(value));
  }, [value]);
  const wrong = text.trim() !== '' && !isNumber(typedNumber(text));
  return (
    <label class="number">
      <span>
        {label}
        {of && <span class="aloud"> {of}</span>}
      </span>
      <input
        ref={box}
        type="text"
        inputMode={whole ? 'numeric' : 'decimal'}
        autocomplete="off"
        value={text}
        aria-invalid={wrong}
        onInput={({ currentTarget }) => {
          setText(currentTarget.value);
          const typed = typedNumber(currentTarget.value);
          if (isNumber(typed)) onChange(typed);
          else if (currentTarget.value.trim() === '') onChange(Number.NaN);
        }}
        onBlur={() => !wrong && setText(textOf(value))}
      />
      {unit && <span class="unit">{unit}</span>}
    </label>
  );
}

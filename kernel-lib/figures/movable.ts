import { asBundle, escapeText, type MimeBundle, type Showable } from '../display/bundle';
import { acceptComm } from '../display/comm';
import { emit } from '../display/display';
import {
  requireFinite,
  requireKnown,
  requirePositive,
  requireWithin,
  shown,
} from '../numerics/require';
import { formatQuantity, fromUnit, toUnit, unitNamed } from '../quantity/known-unit';

/** Where a movable value goes to and fro, in the unit of its start: SI, as `um(10)` gives it. */
export interface MovableRange {
  readonly from: number;
  readonly to: number;
  /** One step of the slider; a round part of the range unless given, 1 for whole numbers without a unit. */
  readonly step?: number;
  /** In which it is shown: `'µm'`, `'deg'`, `'1/mm'` …; the one that the values are written in unless given. */
  readonly unit?: string;
}

/** The mime type under which a front end finds a slider. */
export const movableType = 'application/vnd.multislit.movable+json';
/** The target of the comm by which it is moved. */
export const movableTarget = 'multislit.movable';

/** A slider as front ends are told of it: plain data. All numbers are in its unit. */
export interface Slider {
  /** By which it is told apart. */
  readonly id: string;
  readonly label: string;
  /** After a number, with the space that belongs there; empty for plain numbers. */
  readonly unit: string;
  readonly value: number;
  readonly start: number;
  readonly from: number;
  readonly to: number;
  readonly step: number;
}

/** What the engine of the notebook adds to a call that declares a variable: nobody else knows it. */
interface Declared {
  /** The variable. */
  readonly name: string;
  /** The helper by which its values are written, such as `um`. */
  readonly unit?: string;
  /** Gives it another value. */
  set(value: number): void;
}

/** Units of the helpers whose names are not units themselves. */
const helperUnits: Readonly<Record<string, string>> = { perMillimetre: '1/mm' };

/** A slider of this kernel, and where it was moved to. */
interface Known {
  readonly slider: Slider;
  /** Its unit by name. */
  readonly unit: string;
  /** SI. */
  readonly start: number;
  /** SI; undefined until it is moved. */
  readonly value?: number;
  readonly set?: Declared['set'];
}

const sliders = new Map<string, Known>();

/**
 * A number with a slider below the cell. Moving it on the page of worksheets runs what depends on it, again and again
 * as it moves; in another Jupyter front end it gives the variable its new value and says which cells to run. Run again,
 * the cell has the value where the slider stands; when its text is changed, and in a new kernel, it begins at its start.
 *
 * A sheet that is run from the command line, proved or marked has the start: write the value that you settle on into
 * the cell.
 *
 * @param label what is moved, as it stands beside the slider
 * @param start where it begins, SI: `um(40)`
 * @param range from and to, SI; `step` and `unit` if others are wanted. The unit is that of the helper by which the
 *   values are written, such as `um`; none for plain numbers. Whole numbers without a unit move by 1
 * @returns the value where the slider stands, SI: a plain number
 * @throws TypeError, RangeError when a number is not finite, the range is empty, the start or the step lies outside of
 *   it, the unit is not known, or an option is
 * @example movable('slit width', um(40), { from: um(10), to: um(200) }) // 0.00004
 */
export function movable(label: string, start: number, range: MovableRange): number;
export function movable(
  label: string,
  start: number,
  range: MovableRange,
  declared?: Declared,
): number {
  const { slider, unit } = sliderOf(label, start, range, declared);
  const known = sliders.get(slider.id);
  const moved = known && alike(known.slider, slider) ? known.value : undefined;
  sliders.set(slider.id, { slider, unit, start, value: moved, set: declared?.set });
  const value = moved ?? start;
  emit(() => shownAt(slider, unit, value)[asBundle]());
  return value;
}

const alike = (one: Slider, other: Slider) => JSON.stringify(one) === JSON.stringify(other);

const inRange = "write it as in movable('slit width', um(40), { from: um(10), to: um(200) })";

function sliderOf(
  label: string,
  start: number,
  range: MovableRange,
  declared: Declared | undefined,
): { slider: Slider; unit: string } {
  if (typeof label !== 'string' || label.trim() === '')
    throw new TypeError(
      `movable takes first what is moved, as text, but ${shown(label)} was given: ${inRange}.`,
    );
  if (typeof range !== 'object' || range === null)
    throw new TypeError(
      `movable takes third where '${label}' goes from and to, but ${shown(range)} was given: ${inRange}.`,
    );
  requireKnown('The range of movable', range, ['from', 'to', 'step', 'unit']);
  const { from, to } = range;
  requireFinite(`'from' of '${label}'`, from, inRange);
  requireFinite(`'to' of '${label}'`, to, inRange);
  if (!(from < to))
    throw new RangeError(
      `'${label}' must go from a smaller number to a larger one, but goes from ${from} to ${to}: ${inRange}.`,
    );
  requireWithin(
    `The start of '${label}'`,
    start,
    [from, to],
    'begin within the range, or widen it',
  );
  const helper = declared?.unit ?? '1';
  const unit = range.unit ?? helperUnits[helper] ?? helper;
  const inUnit = (value: number) => round(toUnit(value, unit));
  const isWhole = unit === '1' && [start, from, to].every(Number.isInteger);
  const step = stepOf(label, range, isWhole);
  const slider = {
    id: declared?.name ?? label,
    label,
    unit: unitNamed(unit).label,
    value: inUnit(start),
    start: inUnit(start),
    from: inUnit(from),
    to: inUnit(to),
    step: step === undefined ? roundPart(inUnit(to) - inUnit(from)) : inUnit(step),
  };
  return { slider, unit };
}

function stepOf(label: string, { from, to, step }: MovableRange, isWhole: boolean) {
  if (step === undefined) return isWhole ? 1 : undefined;
  requirePositive(`The step of '${label}'`, step, 'give a part of the range');
  return requireWithin(`The step of '${label}'`, step, [0, to - from], 'give a part of the range');
}

/** Without the last digits, which come of changing units: 40, not 40.00000000000001. */
const round = (value: number) => Number(value.toPrecision(12));

/** A hundredth of a range or somewhat less: 1, 2 or 5 times a power of ten. */
function roundPart(range: number): number {
  const most = range / 100;
  const power = 10 ** Math.floor(Math.log10(most) + 1e-9);
  const factor = [5, 2, 1].find((one) => one * power <= most * (1 + 1e-9)) ?? 1;
  return round(factor * power);
}

function shownAt(slider: Slider, unit: string, value: number): Showable {
  const now: Slider = { ...slider, value: round(toUnit(value, unit)) };
  const reach = `${slider.from} to ${slider.to}${slider.unit}`;
  const text = `${slider.label}: ${formatQuantity(value, unit, 6)} (movable from ${reach})`;
  return {
    [asBundle]: (): MimeBundle => ({
      [movableType]: now,
      'text/html': sliderHtml(now, text),
      'text/plain': text,
    }),
  };
}

/**
 * Let clients move sliders from now on. The kernel brings this about.
 *
 * @param told says, once a variable has another value, which cells are to be run; nothing where there are none
 * @example
 * const client = connectComms(() => {});
 * acceptMoves((name) => `Cells use ${name}.`);
 * movable('number of slits', 3, { from: 1, to: 16 });
 * const move = (type, data) =>
 *   client.receive({ type, id: '1', target: 'multislit.movable', data, buffers: [] });
 * move('comm_open', {});
 * move('comm_msg', { slider: 'number of slits', value: 5 });
 * movable('number of slits', 3, { from: 1, to: 16 }) // 5
 */
export function acceptMoves(told: (name: string) => string | undefined): void {
  acceptComm(movableTarget, (comm) => {
    comm.onMessage(({ slider, value }) => {
      if (typeof slider !== 'string' || typeof value !== 'number') return;
      if (move(slider, value)) comm.send({ slider, value, said: told(slider) ?? '' });
    });
  });
}

/**
 * @param value in the slider's unit
 * @returns whether it was moved; one of a kernel that is gone is not there any more
 */
function move(id: string, value: number): boolean {
  const known = sliders.get(id);
  if (!known || !(value >= known.slider.from && value <= known.slider.to)) return false;
  const { slider, unit, start, set } = known;
  const si = value === slider.start ? start : fromUnit(value, unit);
  sliders.set(id, { ...known, value: si });
  set?.(si);
  return true;
}

/** HTML of a slider: in a notebook that is trusted and can reach the kernel it moves; else its value stands as text. */
function sliderHtml(slider: Slider, text: string): string {
  const data = escapeText(JSON.stringify(slider));
  return `<div data-multislit-movable="${data}">${escapeText(text)}</div><script>${script}</script>`;
}

/**
 * Puts a slider and a box for its number in the place of the text. Complete in itself, for front ends that give
 * scripts their kernel by the name `Jupyter`; elsewhere nothing is put there.
 */
const script = `(() => {
  const kernel = () => globalThis.Jupyter?.notebook?.kernel;
  for (const frame of document.querySelectorAll('[data-multislit-movable]')) {
    if (frame.dataset.isMovable) continue;
    const slider = JSON.parse(frame.dataset.multislitMovable);
    if (!kernel()) {
      frame.append(' In this program the slider cannot be moved: change the number in the cell.');
      frame.dataset.isMovable = 'no';
      continue;
    }
    frame.dataset.isMovable = 'yes';
    const make = (type) => {
      const { from: min, to: max, step, value } = slider;
      const input = Object.assign(document.createElement('input'), { type, min, max });
      input.step = type === 'range' ? step : 'any';
      input.value = value;
      input.setAttribute('aria-label', slider.label + slider.unit.replace(/^ ?/, ', '));
      return input;
    };
    const [range, box] = [make('range'), make('number')];
    box.style.width = '7em';
    const said = document.createElement('span');
    said.setAttribute('role', 'status');
    frame.replaceChildren(slider.label + ' ', range, ' ', box, slider.unit + ' ', said);
    let comm;
    const move = (value) => {
      if (!(value >= slider.from && value <= slider.to)) {
        said.textContent = 'Give a number from ' + slider.from + ' to ' + slider.to + '.';
        return;
      }
      range.value = value;
      box.value = value;
      if (!comm) {
        comm = kernel().comm_manager.new_comm('${movableTarget}', {});
        comm.on_msg(({ content }) => { said.textContent = content.data.said; });
      }
      comm.send({ slider: slider.id, value });
    };
    range.addEventListener('input', () => move(range.valueAsNumber));
    box.addEventListener('change', () => move(box.valueAsNumber));
    for (const type of ['keydown', 'keypress', 'keyup'])
      frame.addEventListener(type, (event) => event.stopPropagation());
  }
})();`;

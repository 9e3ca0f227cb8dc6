import { MOST_PINS, readAddress, writeAddress } from '../../figures/bench/address';
import { readingOf } from '../../figures/bench/build';
import { type Change, changeBetween, changed, limitsOf } from '../../figures/bench/change';
import { type BenchPattern, benchPattern } from '../../figures/bench/compute';
import { apertureWords, cameraWords, lightWords } from '../../figures/bench/describe';
import { isEnd } from '../../figures/bench/ends';
import {
  type Layer,
  type Layers,
  layersPart,
  readLayers,
  startLayers,
} from '../../figures/bench/layers';
import {
  type BenchSetting,
  type NumberName,
  parameters,
  readValue,
  writeValue,
} from '../../figures/bench/setting';
import { isSameFilm } from '../../figures/bench/telescope';
import { counted, listed } from '../../figures/shown';
import { Store } from '../store';

/** A sentence beside the field it belongs to. */
export interface Fault {
  readonly at: keyof BenchSetting;
  readonly what: string;
}

/** A strip kept for comparison. */
export interface Pin {
  readonly id: number;
  readonly pattern: BenchPattern;
  readonly label: string;
  /** In which light and how it was taken: two strips that differ differ in one of the two. */
  readonly taken: string;
}

/** Moves of one parameter that follow each other faster than this, ms, are one move with one ghost. */
const ONE_MOVE = 900;
/**
 * The bench: its setting, the pattern that belongs to it, and what is kept beside it. Settings may
 * change more often than a screen is drawn: the pattern is computed once for each frame.
 */
export class BenchModel {
  readonly setting: Store<BenchSetting>;
  readonly pattern: Store<BenchPattern>;
  /** The pattern before the last move. */
  readonly ghost = new Store<BenchPattern | undefined>(undefined);
  readonly fault = new Store<Fault | undefined>(undefined);
  /** Place on the film that is read, m. */
  readonly place: Store<number>;
  /** Whether the hairline stays at its place while the pointer moves. */
  readonly isLatched = new Store(false);
  /** Place of a second hairline, m, while the first is latched. */
  readonly second = new Store<number | undefined>(undefined);
  readonly layers: Store<Layers>;
  /** While slits are added one by one. */
  readonly isGrowing = new Store(false);
  readonly pins = new Store<readonly Pin[]>([]);
  /** Why a strip is not among those to compare, or no longer. */
  readonly pinFault = new Store('');
  private waiting = false;
  private ids = 0;
  private lastMove: { what: string; at: number } = { what: '', at: 0 };

  constructor(
    start: BenchSetting,
    private readonly nextFrame: (draw: () => void) => void,
    private readonly now: () => number = () => performance.now(),
    layers: Layers = startLayers,
  ) {
    this.layers = new Store(layers);
    this.setting = new Store(start);
    this.pattern = new Store(benchPattern(start));
    this.place = new Store(firstOrder(start));
  }

  /** Change parameters; where they do not fit the rest, all stays as it was and a sentence says why. */
  change(change: Change, at = Object.keys(change)[0] as keyof BenchSetting): boolean {
    let next: BenchSetting;
    try {
      next = changed(this.setting.value, change);
    } catch (error) {
      this.fault.set({ at, what: (error as Error).message });
      return false;
    }
    this.fault.set(undefined);
    this.keepGhost(Object.keys(change).join());
    this.setting.set(next);
    this.schedule();
    return true;
  }

  /** A whole setting at once, as from a step, a pin or a link. */
  show(setting: BenchSetting): void {
    this.lastMove = { what: '', at: 0 };
    this.change(setting, 'slits');
  }

  /** Switch one layer on or off. */
  layer(name: Layer, on = !this.layers.value.has(name)): void {
    const layers = new Set(this.layers.value);
    if (on) layers.add(name);
    else layers.delete(name);
    this.layers.set(layers);
  }

  /** The pointer is at a place on the film: the hairline goes along, unless it is latched. */
  point(place: number): void {
    if (!this.isLatched.value) this.place.set(place);
  }

  /**
   * A click on the film: it latches the hairline; the next puts a second one elsewhere; one on either of
   * the two lets both go.
   *
   * @param near what counts as the same place, m
   */
  click(place: number, near: number): void {
    const isOn = (at?: number) => at !== undefined && Math.abs(at - place) <= near;
    if (!this.isLatched.value) {
      this.place.set(place);
      this.isLatched.set(true);
    } else if (isOn(this.place.value) || isOn(this.second.value)) this.letGo();
    else this.second.set(place);
  }

  /** The hairline follows the pointer again, and there is no second one. */
  letGo(): void {
    this.isLatched.set(false);
    this.second.set(undefined);
  }

  /** To and fro between what is shown and what was before the last move. */
  flip(): void {
    const before = this.ghost.value;
    if (before) this.show(before.setting);
  }

  /** Move a slider: at the end that the other parameters set, it stops. */
  slide(name: NumberName, value: number): void {
    const [low, high] = limitsOf(this.setting.value, name);
    this.change({ [name]: Math.min(high, Math.max(low, value)) });
  }

  /** Take what was typed into a field. */
  type(name: NumberName, text: string): boolean {
    try {
      const value = readValue(parameters[name], text);
      if (name === 'reading') requireLit(this.setting.value, value);
      return this.change({ [name]: value }, name);
    } catch (error) {
      this.fault.set({ at: name, what: (error as Error).message });
      return false;
    }
  }

  pin(settings: readonly BenchSetting[]): void {
    this.hang(settings, new Refusals());
  }

  /** The strips of these numbers of slits, all else as it is now. */
  pinCounts(counts: readonly number[]): void {
    const { value } = this.setting;
    const settings: BenchSetting[] = [];
    const refused = new Refusals();
    for (const slits of counts) {
      try {
        settings.push(changed(value, { slits }));
      } catch (error) {
        refused.add(slits, error as Error);
      }
    }
    this.hang(settings, refused);
  }

  private hang(settings: readonly BenchSetting[], refused: Refusals): void {
    const made: Pin[] = [];
    for (const setting of settings) {
      try {
        made.push({
          id: ++this.ids,
          pattern: setting === this.setting.value ? this.current() : benchPattern(setting),
          label: apertureWords(setting),
          taken: [lightWords(setting), ...cameraWords(setting)].join(', '),
        });
      } catch (error) {
        refused.add(setting.slits, error as Error);
      }
    }
    const all = [...this.pins.value, ...made];
    const gone = all.length - MOST_PINS;
    const oldest = gone === 1 ? 'The oldest strip was' : `The ${gone} oldest strips were`;
    const full = `${oldest} taken down: there is room for ${MOST_PINS}.`;
    this.pins.set(all.slice(-MOST_PINS));
    this.pinFault.set([...refused.words(), ...(gone > 0 ? [full] : [])].join(' '));
  }

  unpinAll(): void {
    this.pinFault.set('');
    this.pins.set([]);
  }

  /** Settings of the strips kept for comparison. */
  pinned(): BenchSetting[] {
    return this.pins.value.map(({ pattern }) => pattern.setting);
  }

  unpin(id: number): void {
    this.pinFault.set('');
    this.pins.set(this.pins.value.filter((pin) => pin.id !== id));
  }

  private keepGhost(what: string): void {
    const { lastMove } = this;
    const at = this.now();
    if (what !== lastMove.what || at - lastMove.at > ONE_MOVE) this.ghost.set(this.pattern.value);
    this.lastMove = { what, at };
  }

  private schedule(): void {
    if (this.waiting) return;
    this.waiting = true;
    this.nextFrame(() => {
      this.waiting = false;
      this.current();
    });
  }

  /** The pattern of the setting as it is now. */
  private current(): BenchPattern {
    const { value: setting } = this.setting;
    if (this.pattern.value.setting !== setting) {
      try {
        const isSame = isSameFilm(this.pattern.value.setting, setting);
        this.pattern.set(isSame ? { ...this.pattern.value, setting } : benchPattern(setting));
      } catch (error) {
        this.fault.set({
          at: this.lastMove.what as keyof BenchSetting,
          what: (error as Error).message,
        });
        this.setting.set(this.pattern.value.setting);
      }
    }
    return this.pattern.value;
  }
}

/** Strips that could not be made, by the reason why. */
class Refusals {
  private readonly counts = new Map<string, number[]>();

  add(slits: number, { message }: Error): void {
    this.counts.set(message, [...(this.counts.get(message) ?? []), slits]);
  }

  words(): string[] {
    return [...this.counts].map(([why, counts]) => {
      const what =
        counts.length === 1 ? counted(counts[0], 'slit') : `${listed(counts.map(String))} slits`;
      return `${what}: not pinned. ${why}`;
    });
  }
}

function requireLit(setting: BenchSetting, wavelength: number): void {
  const [from, to] = limitsOf(setting, 'reading');
  if (wavelength >= from - 1e-15 && wavelength <= to + 1e-15) return;
  const [low, high] = [from, to].map((end) => writeValue(parameters.reading, end));
  throw new RangeError(`The light has wavelengths from ${low} to ${high} only: read it there.`);
}

/** Most of the way to the first order, as a place to begin reading at: the arrows make a polygon there. */
function firstOrder(setting: BenchSetting): number {
  if (isEnd(setting)) return 0;
  const { slits, spacing, width, focalLength, span } = setting;
  const sine = (0.85 * readingOf(setting)) / (slits > 1 ? spacing : width);
  return sine < 1 ? Math.min(span / 2, focalLength * Math.tan(Math.asin(sine))) : 0;
}

/** All that a bench shows, as an address has it: its setting, the strips to compare, the layers that are switched on. */
export const benchAddress = (model: BenchModel): string =>
  [writeAddress(model.setting.value, model.pinned()), layersPart(model.layers.value)]
    .filter(Boolean)
    .join('&');

/** Show what another bench shows: its address, and the place of its hairline, m. */
export function showAddress(model: BenchModel, address: string, place: number): void {
  const { layers, rest } = readLayers(address);
  const { setting, pins } = readAddress(rest);
  const change = changeBetween(model.setting.value, setting);
  if (Object.keys(change).length > 0) model.change(change);
  model.place.set(place);
  if (layersPart(layers) !== layersPart(model.layers.value)) model.layers.set(layers);
  if (writeAddress(setting, pins) !== writeAddress(setting, model.pinned())) {
    model.pins.set([]);
    model.pin(pins);
  }
}

import { changed, limitsOf } from '../../figures/bench/change';
import { type BenchSetting, startSetting } from '../../figures/bench/setting';
import { Store } from '../store';
import type { BenchModel } from './bench-model';
import { steps } from './step-list';

/** A step asks first, is shown then, and explained last. */
const phases = ['ask', 'seen', 'why'] as const;
type Phase = (typeof phases)[number];

/** Where somebody is on the way through the steps. */
export interface WalkPlace {
  /** Counted from 0. */
  readonly step: number;
  readonly phase: Phase;
}

/** What a lecturer's room decides: a step takes it over, unless it names it. */
type OfTheRoom = Pick<BenchSetting, 'collimatorFocalLength' | 'focalLength' | 'span'>;
const ofTheRoom = ['collimatorFocalLength', 'focalLength', 'span'] as const;

/** Equal parts of the film in which light may be expected. */
export const PARTS = 240;
const nothing: readonly number[] = Array.from({ length: PARTS }, () => 0);
/** How far a touch of the brush reaches, parts: to e⁻¹ of its middle. */
const BRUSH = 3;

/** The way through the steps of a bench, and what is expected at each before it is shown. */
export class Walk {
  readonly place: Store<WalkPlace | undefined>;
  /** How bright each part of the film is expected to be, 0 to 1, from its left end on. */
  readonly expected = new Store(nothing);
  private room: Partial<OfTheRoom>;
  private before: BenchSetting;

  /** @param place where somebody was before the page was loaded anew, with the setting that the bench has now */
  constructor(
    private readonly model: BenchModel,
    place?: WalkPlace,
  ) {
    this.place = new Store(place);
    this.before = model.setting.value;
    this.room = place ? roomBehind(this.before, place.step) : roomOf(this.before, ofTheRoom);
    model.setting.subscribe(() => {
      const now = model.setting.value;
      const moved = ofTheRoom.filter((name) => now[name] !== this.before[name]);
      const kept = Object.entries(this.room).filter(([name]) => !moved.some((one) => one === name));
      this.room = { ...Object.fromEntries(kept), ...roomOf(now, moved) };
      this.before = now;
    });
  }

  next(): void {
    const place = this.place.value;
    if (!place) this.go({ step: 0, phase: 'ask' });
    else if (place.phase !== 'why')
      this.place.set({ ...place, phase: phases[phases.indexOf(place.phase) + 1] });
    else if (place.step < steps.length - 1) this.go({ step: place.step + 1, phase: 'ask' });
  }

  back(): void {
    const place = this.place.value;
    if (!place) return;
    if (place.phase !== 'ask')
      this.place.set({ ...place, phase: phases[phases.indexOf(place.phase) - 1] });
    else if (place.step > 0) this.go({ step: place.step - 1, phase: 'why' });
  }

  /** To a place on the way, with its setting. */
  go(place: WalkPlace): void {
    this.expected.set(nothing);
    this.place.set(place);
    const { room } = this;
    this.model.show(settingIn(room, place.step));
    // Of a step's own lenses and film nothing is learnt.
    this.room = room;
  }

  /** To where another window is, whose setting has come by itself. */
  followTo(place: WalkPlace | undefined, expected: readonly number[]): void {
    if (place?.step !== this.place.value?.step || place?.phase !== this.place.value?.phase)
      this.place.set(place);
    if (expected.some((value, i) => value !== this.expected.value[i])) this.expected.set(expected);
  }

  /** Off the way; the bench stays as it is. */
  leave(): void {
    this.place.set(undefined);
    this.expected.set(nothing);
  }

  /** Touch the empty film with the brush. @param share place from the left end, 0 to 1 */
  paint(share: number, strength = 0.5): void {
    const middle = share * PARTS - 0.5;
    this.expected.set(
      this.expected.value.map((value, i) =>
        Math.min(1, value + strength * Math.exp(-(((i - middle) / BRUSH) ** 2))),
      ),
    );
  }

  wipe(): void {
    this.expected.set(nothing);
  }
}

/** Of these, what is not as the bench begins. */
function roomOf(setting: BenchSetting, names: readonly (keyof OfTheRoom)[]): Partial<OfTheRoom> {
  const own = names.filter((name) => setting[name] !== startSetting[name]);
  return Object.fromEntries(own.map((name) => [name, setting[name]]));
}

/** The room in which a step became this setting. */
function roomBehind(setting: BenchSetting, step: number): Partial<OfTheRoom> {
  const named = steps[step].setting;
  const room = roomOf(
    setting,
    (['collimatorFocalLength', 'focalLength'] as const).filter((name) => named[name] === undefined),
  );
  const isOfItself = settingIn(room, step).span === setting.span;
  const stretch = setting.span / (named.span ?? startSetting.span);
  return isOfItself ? room : { ...room, span: stretch * startSetting.span };
}

/** A step in the room as it is: farther lenses get as much more film, so that all that is asked for lies on it. */
function settingIn(room: Partial<OfTheRoom>, step: number): BenchSetting {
  const { setting } = steps[step];
  const { focalLength = startSetting.focalLength, span } = room;
  const stretch = span ? span / startSetting.span : focalLength / startSetting.focalLength;
  const placed = changed(startSetting, { ...room, ...setting, span: startSetting.span });
  const [low, high] = limitsOf(placed, 'span');
  const wanted = (setting.span ?? startSetting.span) * stretch;
  return changed(placed, { span: Math.min(high, Math.max(low, wanted)) });
}

/** A place as a part of an address: `step=5.seen`. */
export const walkPart = (place: WalkPlace | undefined): string =>
  place ? `step=${place.step + 1}.${place.phase}` : '';

/** The place that an address names, and the address without it. */
export function readWalk(address: string): { place: WalkPlace | undefined; rest: string } {
  const parts = address.replace(/^#/, '').split('&');
  const named = parts.find((part) => part.startsWith('step='));
  const rest = parts.filter((part) => part !== named).join('&');
  const [, number, word] = /^step=(\d{1,3})\.(\w+)$/.exec(named ?? '') ?? [];
  const phase = phases.find((one) => one === word);
  const step = Number(number) - 1;
  return { place: phase && steps[step] ? { step, phase } : undefined, rest };
}

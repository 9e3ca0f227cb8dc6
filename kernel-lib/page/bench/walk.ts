import { changed, limitsOf } from '../../figures/bench/change';
import { type BenchSetting, startSetting } from '../../figures/bench/setting';
import {
  type Asking,
  type Gathered,
  inOrder,
  PARTS,
  type Said,
  type Shown,
  unpackPainted,
} from '../../travels/room-talk';
import { Store } from '../store';
import type { BenchModel } from './bench-model';
import { MOST_STEPS, type Step, steps } from './step-list';

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

const nothing: readonly number[] = Array.from({ length: PARTS }, () => 0);
/** How far a touch of the brush reaches, parts: to e⁻¹ of its middle. */
const BRUSH = 3;
const nobody: Said = [];

/** What is expected of a step before it is shown. */
export class Expected {
  /** How bright each part of the film is expected to be, 0 to 1, from its left end on. */
  readonly expected = new Store(nothing);
  /** Numbers or words, and how many said each. */
  readonly said = new Store(nobody);
  /** How many painted; 0 where somebody did for all. */
  readonly painters = new Store(0);

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
    this.said.set(nobody);
    this.painters.set(0);
  }

  /** So many more say this. */
  say(answer: number | string, asks: Asking, people = 1): void {
    const counts = new Map(this.said.value);
    counts.set(answer, Math.max(0, (counts.get(answer) ?? 0) + people));
    const left = [...counts].filter(([, count]) => count > 0);
    this.said.set(inOrder(left, asks));
  }

  /** What a whole class expects, with those whose hands were counted. */
  gathered({ people, painted, said }: Gathered, asks: Asking, byHand: Said = nobody): void {
    if (painted) {
      this.expected.set(unpackPainted(painted));
      this.painters.set(people);
    }
    const counts = new Map(said);
    for (const [answer, count] of byHand) counts.set(answer, (counts.get(answer) ?? 0) + count);
    this.said.set(inOrder([...counts], asks));
  }
}

/** The way through the steps of a bench, and what is expected at each before it is shown. */
export class Walk extends Expected {
  readonly place: Store<WalkPlace | undefined>;
  /** The steps that are gone through: those of the program, or a lecturer's own. */
  readonly steps: Store<readonly Step[]>;
  private room: Partial<OfTheRoom>;
  private before: BenchSetting;

  /** @param place where somebody was before the page was loaded anew, with the setting that the bench has now */
  constructor(
    private readonly model: BenchModel,
    place?: WalkPlace,
    all: readonly Step[] = steps,
  ) {
    super();
    this.steps = new Store(all);
    this.place = new Store(all[place?.step ?? 0] && place);
    this.before = model.setting.value;
    this.room = this.place.value
      ? roomBehind(this.before, all[this.place.value.step])
      : roomOf(this.before, ofTheRoom);
    model.setting.subscribe(() => {
      const now = model.setting.value;
      const moved = ofTheRoom.filter((name) => now[name] !== this.before[name]);
      const kept = Object.entries(this.room).filter(([name]) => !moved.some((one) => one === name));
      this.room = { ...Object.fromEntries(kept), ...roomOf(now, moved) };
      this.before = now;
    });
  }

  /** The step that somebody is at. */
  get step(): Step | undefined {
    const place = this.place.value;
    return place && this.steps.value[place.step];
  }

  /** Go through other steps. */
  take(all: readonly Step[]): void {
    this.leave();
    this.steps.set(all);
  }

  next(): void {
    const place = this.place.value;
    if (!place) {
      if (this.steps.value.length > 0) this.go({ step: 0, phase: 'ask' });
    } else if (place.phase !== 'why')
      this.place.set({ ...place, phase: phases[phases.indexOf(place.phase) + 1] });
    else if (place.step < this.steps.value.length - 1)
      this.go({ step: place.step + 1, phase: 'ask' });
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
    this.wipe();
    this.place.set(place);
    const { room } = this;
    this.model.show(settingIn(room, this.steps.value[place.step]));
    // Of a step's own lenses and film nothing is learnt.
    this.room = room;
  }

  /** To where another window is, whose setting has come by itself. */
  followTo(
    place: WalkPlace | undefined,
    { expected, said, painters }: Pick<Told, 'expected' | 'said' | 'painters'>,
  ): void {
    if (place && !this.steps.value[place.step]) return;
    if (place?.step !== this.place.value?.step || place?.phase !== this.place.value?.phase)
      this.place.set(place);
    if (expected.some((value, i) => value !== this.expected.value[i])) this.expected.set(expected);
    if (String(said) !== String(this.said.value)) this.said.set(said);
    this.painters.set(painters);
  }

  /** Off the way; the bench stays as it is. */
  leave(): void {
    this.place.set(undefined);
    this.wipe();
  }

  /** What a room is shown of it: while the film is covered, nothing by which it could be computed. */
  shown(bench: string, place: number, dark: boolean): Shown {
    const { step, place: at } = this;
    if (!step || !at.value) return { step: '', title: '', text: '', bench, place, dark };
    const { phase, step: count } = at.value;
    const name = `${count + 1} of ${this.steps.value.length}: ${step.title}`;
    const common = { step: name.slice(0, 100), title: name, dark, asks: step.asks, at: step.at };
    return phase === 'ask'
      ? { ...common, text: step.ask, place: 0 }
      : { ...common, text: phase === 'seen' ? step.look : step.why, bench, place };
  }
}

/** What one window tells another of what is expected. */
export type Told = {
  readonly expected: readonly number[];
  readonly said: Said;
  readonly painters: number;
};

/** Of these, what is not as the bench begins. */
function roomOf(setting: BenchSetting, names: readonly (keyof OfTheRoom)[]): Partial<OfTheRoom> {
  const own = names.filter((name) => setting[name] !== startSetting[name]);
  return Object.fromEntries(own.map((name) => [name, setting[name]]));
}

/** The room in which a step became this setting. */
function roomBehind(setting: BenchSetting, step: Step): Partial<OfTheRoom> {
  if (step.isWhole) return {};
  const named = step.setting;
  const room = roomOf(
    setting,
    (['collimatorFocalLength', 'focalLength'] as const).filter((name) => named[name] === undefined),
  );
  const isOfItself = settingIn(room, step).span === setting.span;
  const stretch = setting.span / (named.span ?? startSetting.span);
  return isOfItself ? room : { ...room, span: stretch * startSetting.span };
}

/** A step in the room as it is: farther lenses get as much more film, so that all that is asked for lies on it. */
function settingIn(room: Partial<OfTheRoom>, { setting, isWhole }: Step): BenchSetting {
  if (isWhole) return changed(startSetting, setting);
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

/** The place that an address names, the packed steps that it brings, and the address without both. */
export function readWalk(address: string): {
  place: WalkPlace | undefined;
  packed: string | undefined;
  rest: string;
} {
  const parts = address.replace(/^#/, '').split('&');
  const named = parts.find((part) => part.startsWith('step='));
  const brought = parts.find((part) => part.startsWith('steps='));
  const rest = parts.filter((part) => part !== named && part !== brought).join('&');
  const [, number, word] = /^step=(\d{1,3})\.(\w+)$/.exec(named ?? '') ?? [];
  const phase = phases.find((one) => one === word);
  const step = Number(number) - 1;
  const isPlace = phase && step >= 0 && step < MOST_STEPS;
  const packed = brought?.slice('steps='.length);
  return { place: isPlace ? { step, phase } : undefined, packed, rest };
}

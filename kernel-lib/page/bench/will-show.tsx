import type { ComponentChildren } from 'preact';
import { useId, useState } from 'preact/hooks';
import {
  type Catcher,
  type Demonstration,
  lensesBy,
  type ParallelBy,
  type Sight,
  type SightName,
  willItShow,
} from '../../camera/will-it-show';
import { readingOf } from '../../figures/bench/build';
import { readable, shownWavelengths } from '../../figures/bench/change';
import { apertureWords, lightWords } from '../../figures/bench/describe';
import type { BenchSetting } from '../../figures/bench/setting';
import { shownLength } from '../../figures/shown';
import { useSettled, useValue } from '../store';
import type { BenchModel } from './bench-model';

export const sightWords: Record<SightName, string> = {
  orders: 'orders, or fringes, apart',
  envelope: 'minima of a single slit',
  'missing order': 'a missing order',
  'weak maxima': 'weak maxima between orders',
  colours: 'the first order’s colours',
};

/** The hall as it is typed: numbers stay texts until they are used. */
export interface Hall {
  readonly kind: Catcher['kind'];
  /** Pixel, µm, or line pairs per mm. */
  readonly finest: string;
  readonly enlarged: string;
  /** m */
  readonly seat: string;
}

const usualHall: Hall = {
  kind: 'camera',
  finest: '4',
  enlarged: '200',
  seat: '15',
};

export function number(text: string, what: string): number {
  const value = Number(text.trim().replace(',', '.'));
  if (text.trim() !== '' && Number.isFinite(value) && value > 0) return value;
  throw new RangeError(`${what}: "${text.trim()}" is no number above 0.`);
}

export function whereOf({ kind, finest, enlarged, seat }: Hall, by: ParallelBy) {
  const catcher: Catcher =
    kind === 'screen'
      ? { kind }
      : kind === 'film'
        ? { kind, lines: number(finest, 'Line pairs per mm') * 1e3 }
        : { kind, pixel: number(finest, 'Pixel') * 1e-6 };
  return {
    by,
    catcher,
    enlarged: kind === 'screen' ? 1 : number(enlarged, 'Enlarged'),
    seat: number(seat, 'Farthest seat'),
  };
}

/** Asks a pure function; what it refuses is a sentence. */
export function asked<T>(ask: () => T): { value?: T; fault?: string } {
  try {
    return { value: ask() };
  } catch (error) {
    return { fault: (error as Error).message };
  }
}

export function Labelled({
  words,
  children,
}: {
  words: string;
  children: (id: string) => ComponentChildren;
}) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{words}</label>
      {children(id)}
    </div>
  );
}

export function Typed({
  words,
  value,
  onInput,
}: {
  words: string;
  value: string;
  onInput: (text: string) => void;
}) {
  return (
    <Labelled words={words}>
      {(id) => (
        <input
          id={id}
          class="typed"
          type="text"
          inputMode="decimal"
          autoComplete="off"
          value={value}
          onInput={({ currentTarget }) => onInput(currentTarget.value)}
        />
      )}
    </Labelled>
  );
}

/** One sight: whether, then what is in the way, or what holds. */
export function SightItem({ sight: { name, shows, needs } }: { sight: Sight }) {
  const told = shows ? needs : needs.filter(({ isMet }) => !isMet);
  return (
    <li data-shows={shows}>
      <b>
        {shows ? 'Will show: ' : 'Will not show: '}
        {sightWords[name]}.
      </b>{' '}
      {told.map(({ sentence }) => sentence).join(' ')}
    </li>
  );
}

/** Which lenses stand on the bench: before the slits, and behind them. */
function lensesOn({ stand, beam }: BenchSetting): ParallelBy {
  if (stand === 'screen') return beam === 'collimator' ? 'collimator' : 'distance';
  return beam === 'collimator' ? 'lenses' : 'camera lens';
}

/** What stands on the bench, as something to be shown in a hall. */
function demonstrationOf(setting: BenchSetting, hall: Hall): Demonstration {
  const { slits, width, spacing, sourceWidth } = setting;
  const band = shownWavelengths(setting);
  const reading = readingOf(setting);
  const isLines = 'lines' in readable(setting);
  const [from, to] = isLines ? [reading, reading] : [band[0], band[band.length - 1]];
  const by = lensesOn(setting);
  const lengths = lengthsOn(setting);
  return { slits, width, spacing, sourceWidth, from, to, ...lengths, ...whereOf(hall, by) };
}

/** How far source slit and film or screen are from the slits, or the focal lengths of what stands there. */
function lengthsOn(setting: BenchSetting) {
  const { collimator, camera } = lensesBy(lensesOn(setting));
  return {
    sourceDistance: collimator ? setting.collimatorFocalLength : setting.sourceDistance,
    distance: camera ? setting.focalLength : setting.screenDistance,
  };
}

/** Whether a class will see what the bench shows, what to change where not, and what of a cupboard would show it. */
export function WillShow({
  model,
  plan,
}: {
  model: BenchModel;
  /** What is below, for the hall as it is typed. */
  plan: (hall: Hall, by: ParallelBy) => ComponentChildren;
}) {
  const setting = useSettled(model.setting, 200);
  const by = useValue(model.setting, lensesOn);
  const [isOpen, setOpen] = useState(false);
  const [hall, setHall] = useState(usualHall);
  return (
    <section class="will-show" aria-labelledby="will-show-title">
      <div class="head">
        <h2 id="will-show-title">Will it show?</h2>
        <button type="button" aria-expanded={isOpen} onClick={() => setOpen(!isOpen)}>
          {isOpen ? 'Close' : 'In a hall, with what stands in the cupboard'}
        </button>
      </div>
      {isOpen && (
        <>
          <HallFields hall={hall} onChange={setHall} />
          <Verdicts setting={setting} hall={hall} />
          {plan(hall, by)}
        </>
      )}
    </section>
  );
}

function HallFields({ hall, onChange }: { hall: Hall; onChange: (hall: Hall) => void }) {
  const change = (some: Partial<Hall>) => onChange({ ...hall, ...some });
  return (
    <div class="hall">
      <Labelled words="Caught by">
        {(id) => (
          <select
            id={id}
            value={hall.kind}
            onChange={({ currentTarget: { value } }) => {
              const kind = value as Hall['kind'];
              change({ kind, finest: kind === 'film' ? '50' : '4' });
            }}
          >
            <option value="screen">a screen in the room</option>
            <option value="film">film</option>
            <option value="camera">a camera and projector</option>
          </select>
        )}
      </Labelled>
      {hall.kind !== 'screen' && (
        <>
          <Typed
            words={hall.kind === 'film' ? 'Line pairs per mm' : 'Pixel, µm'}
            value={hall.finest}
            onInput={(finest) => change({ finest })}
          />
          <Typed
            words="Enlarged for the class, times"
            value={hall.enlarged}
            onInput={(enlarged) => change({ enlarged })}
          />
        </>
      )}
      <Typed words="Farthest seat, m" value={hall.seat} onInput={(seat) => change({ seat })} />
    </div>
  );
}

function Verdicts({ setting, hall }: { setting: BenchSetting; hall: Hall }) {
  const { value: sights, fault } = asked(() => willItShow(demonstrationOf(setting, hall)));
  const { collimator, camera } = lensesBy(lensesOn(setting));
  const { sourceDistance, distance } = lengthsOn(setting);
  return (
    <>
      <p class="of">
        {apertureWords(setting)}, {lightWords(setting)}, source slit{' '}
        {shownLength(setting.sourceWidth)} at {shownLength(sourceDistance)}
        {!collimator && ' without a lens'}, {camera ? 'camera lens' : 'screen at'}{' '}
        {shownLength(distance)}:
      </p>
      {fault && (
        <p class="why" role="alert">
          {fault}
        </p>
      )}
      {sights && (
        <ul class="sights" aria-live="polite">
          {sights.map((sight) => (
            <SightItem key={sight.name} sight={sight} />
          ))}
        </ul>
      )}
    </>
  );
}

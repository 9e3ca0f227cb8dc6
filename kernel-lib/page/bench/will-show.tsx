import type { ComponentChildren } from 'preact';
import { useId, useState } from 'preact/hooks';
import {
  type Arrangement,
  type Catcher,
  type Cupboard,
  type Demonstration,
  type Plan,
  planDemonstration,
  type Sight,
  type SightName,
  sightNames,
  willItShow,
} from '../../camera/will-it-show';
import { readingOf } from '../../figures/bench/build';
import { readable, shownWavelengths } from '../../figures/bench/change';
import { apertureWords, lightWords } from '../../figures/bench/describe';
import type { BenchLight, BenchSetting } from '../../figures/bench/setting';
import { counted, shownLength } from '../../figures/shown';
import { formatNumber } from '../../quantity/format-number';
import { useSettled } from '../store';
import type { BenchModel } from './bench-model';
import { cautionFor } from './controls';

const sightWords: Record<SightName, string> = {
  orders: 'orders, or fringes, apart',
  envelope: 'minima of a single slit',
  'missing order': 'a missing order',
  'weak maxima': 'weak maxima between orders',
  colours: 'the first order’s colours',
};

/** The hall as it is typed: numbers stay texts until they are used. */
interface Hall {
  readonly by: Demonstration['by'];
  readonly kind: Catcher['kind'];
  /** Pixel, µm, or line pairs per mm. */
  readonly finest: string;
  readonly enlarged: string;
  /** m */
  readonly seat: string;
}

const usualHall: Hall = { by: 'lenses', kind: 'camera', finest: '4', enlarged: '200', seat: '15' };

function number(text: string, what: string): number {
  const value = Number(text.trim().replace(',', '.'));
  if (text.trim() !== '' && Number.isFinite(value) && value > 0) return value;
  throw new RangeError(`${what}: "${text.trim()}" is no number above 0.`);
}

function whereOf({ by, kind, finest, enlarged, seat }: Hall) {
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

/** What stands on the bench, as something to be shown in a hall. */
function demonstrationOf(setting: BenchSetting, hall: Hall): Demonstration {
  const { slits, width, spacing, sourceWidth, collimatorFocalLength, focalLength } = setting;
  const band = shownWavelengths(setting);
  const reading = readingOf(setting);
  const isLines = 'lines' in readable(setting);
  const [from, to] = isLines ? [reading, reading] : [band[0], band[band.length - 1]];
  const lengths = { sourceDistance: collimatorFocalLength, distance: focalLength };
  return { slits, width, spacing, sourceWidth, from, to, ...lengths, ...whereOf(hall) };
}

/** Asks a pure function; what it refuses is a sentence. */
function asked<T>(ask: () => T): { value?: T; fault?: string } {
  try {
    return { value: ask() };
  } catch (error) {
    return { fault: (error as Error).message };
  }
}

/** Whether a class will see what the bench shows, what to change where not, and what of a cupboard would show it. */
export function WillShow({ model }: { model: BenchModel }) {
  const setting = useSettled(model.setting, 200);
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
          <Planning model={model} hall={hall} />
        </>
      )}
    </section>
  );
}

function HallFields({ hall, onChange }: { hall: Hall; onChange: (hall: Hall) => void }) {
  const change = (some: Partial<Hall>) => onChange({ ...hall, ...some });
  return (
    <div class="hall">
      <Labelled words="Parallel light by">
        {(id) => (
          <select
            id={id}
            value={hall.by}
            onChange={({ currentTarget: { value } }) => change({ by: value as Hall['by'] })}
          >
            <option value="lenses">lenses</option>
            <option value="distance">distance alone</option>
          </select>
        )}
      </Labelled>
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

function Labelled({
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

function Typed({
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

function Verdicts({ setting, hall }: { setting: BenchSetting; hall: Hall }) {
  const { value: sights, fault } = asked(() => willItShow(demonstrationOf(setting, hall)));
  return (
    <>
      <p class="of">
        {apertureWords(setting)}, {lightWords(setting)}, source slit{' '}
        {shownLength(setting.sourceWidth)} at {shownLength(setting.collimatorFocalLength)},{' '}
        {hall.by === 'lenses' ? 'camera lens' : 'screen at'} {shownLength(setting.focalLength)}:
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

/** One sight: whether, then what is in the way, or what holds. */
function SightItem({ sight: { name, shows, needs } }: { sight: Sight }) {
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

/** Lights of a usual cupboard; how bright they are beside each other through a slit is common practice, no source. */
const lights: readonly (Cupboard['lights'][number] & {
  readonly bench: Partial<BenchSetting> & { readonly light: BenchLight };
})[] = [
  {
    ...{ name: 'filament lamp', from: 450e-9, to: 650e-9, brightness: 1 },
    bench: { light: 'filament', filter: false },
  },
  {
    ...{ name: 'filament lamp, green filter', from: 541e-9, to: 551e-9, brightness: 0.05 },
    bench: { light: 'filament', filter: true, bandCentre: 546e-9, bandWidth: 10e-9 },
  },
  {
    ...{ name: 'sunlight', from: 450e-9, to: 650e-9, brightness: 100 },
    bench: { light: 'sunlight', filter: false },
  },
  {
    ...{ name: 'sodium lamp', from: 589e-9, to: 589e-9, brightness: 0.05 },
    bench: { light: 'sodium', filter: false },
  },
  {
    ...{ name: 'mercury lamp, green filter', from: 546e-9, to: 546e-9, brightness: 0.2 },
    bench: { light: 'mercury', filter: true, bandCentre: 546e-9, bandWidth: 10e-9 },
  },
  {
    ...{ name: 'red laser', from: 633e-9, to: 633e-9, brightness: 1e4 },
    bench: { light: 'laser', wavelength: 632.8e-9 },
  },
];

const usualShelf = {
  slides: '1 40\n2 40 160\n2 40 120\n3 40 100\n5 40 100\n8 40 100\n16 40 100',
  collimators: '300 500',
  lenses: '300 1000 3000',
  source: '10 1000',
};

const numbers = (text: string, what: string) =>
  text
    .trim()
    .split(/[\s;]+/)
    .map((one) => number(one, what));

function slidesOf(text: string): Cupboard['slides'] {
  return text
    .split('\n')
    .filter((line) => line.trim() !== '')
    .map((line) => {
      const [slits, width, spacing = width] = numbers(line, 'Slides');
      if (width === undefined)
        throw new RangeError(
          `Slides: "${line.trim()}" tells no width. Write number, width and spacing, such as 2 40 160.`,
        );
      return { slits, width: width * 1e-6, spacing: spacing * 1e-6 };
    });
}

function Planning({ model, hall }: { model: BenchModel; hall: Hall }) {
  const [wishes, setWishes] = useState<readonly SightName[]>(['orders']);
  const [chosen, setChosen] = useState<readonly string[]>(
    lights.slice(0, 2).map(({ name }) => name),
  );
  const [shelf, setShelf] = useState(usualShelf);
  const [made, setMade] = useState<{ plan?: Plan; fault?: string }>({});
  const toggled = <T,>(list: readonly T[], one: T) =>
    list.includes(one) ? list.filter((other) => other !== one) : [...list, one];
  const plan = () => {
    const { value, fault } = asked(() => {
      const [narrowest, widest = narrowest] = numbers(shelf.source, 'Source slit');
      return planDemonstration(
        sightNames.filter((name) => wishes.includes(name)),
        {
          slides: slidesOf(shelf.slides),
          lights: lights.filter(({ name }) => chosen.includes(name)),
          collimators: numbers(shelf.collimators, 'Collimators').map((mm) => mm * 1e-3),
          lenses: numbers(shelf.lenses, 'Camera lenses').map((mm) => mm * 1e-3),
          sourceSlit: [narrowest * 1e-6, widest * 1e-6],
        },
        whereOf(hall),
      );
    });
    setMade({ plan: value, fault });
  };
  const distance = hall.by === 'distance';
  return (
    <div class="planning">
      <h3>Plan</h3>
      <fieldset>
        <legend>What shall be seen</legend>
        {sightNames.map((name) => (
          <label key={name} class="tick">
            <input
              type="checkbox"
              checked={wishes.includes(name)}
              onChange={() => setWishes(toggled(wishes, name))}
            />
            {sightWords[name]}
          </label>
        ))}
      </fieldset>
      <fieldset>
        <legend>What stands in the cupboard</legend>
        {lights.map(({ name }) => (
          <label key={name} class="tick">
            <input
              type="checkbox"
              checked={chosen.includes(name)}
              onChange={() => setChosen(toggled(chosen, name))}
            />
            {name}
          </label>
        ))}
        <Labelled words="Slides, one a line: slits, width and spacing in µm">
          {(id) => (
            <textarea
              id={id}
              rows={5}
              value={shelf.slides}
              onInput={({ currentTarget: { value } }) => setShelf({ ...shelf, slides: value })}
            />
          )}
        </Labelled>
        <Typed
          words={distance ? 'Source slit to slits, mm' : 'Collimators, mm'}
          value={shelf.collimators}
          onInput={(collimators) => setShelf({ ...shelf, collimators })}
        />
        <Typed
          words={distance ? 'Slits to screen, mm' : 'Camera lenses, mm'}
          value={shelf.lenses}
          onInput={(lenses) => setShelf({ ...shelf, lenses })}
        />
        <Typed
          words="Source slit, narrowest and widest, µm"
          value={shelf.source}
          onInput={(source) => setShelf({ ...shelf, source })}
        />
      </fieldset>
      <button type="button" class="main" onClick={plan}>
        Propose
      </button>
      {made.fault && (
        <p class="why" role="alert">
          {made.fault}
        </p>
      )}
      {made.plan && <PlanSheet plan={made.plan} model={model} hall={hall} />}
    </div>
  );
}

const benchOf = ({ light }: Arrangement) => lights.find(({ name }) => name === light.name)!.bench;

/** The proposal, as it is read on the screen and printed for the preparation room. */
function PlanSheet({ plan, model, hall }: { plan: Plan; model: BenchModel; hall: Hall }) {
  const { arrangements, without } = plan;
  const print = () => {
    const { dataset } = document.documentElement;
    dataset.prints = 'plan';
    addEventListener('afterprint', () => delete dataset.prints, { once: true });
    window.print();
  };
  const lightsUsed = [...new Set(arrangements.map((one) => benchOf(one).light))];
  const seenBy = {
    screen: 'a screen in the room',
    film: `film that keeps ${hall.finest} line pairs per mm`,
    camera: `a camera with pixels of ${hall.finest} µm`,
  }[hall.kind];
  return (
    <article class="plan-sheet" aria-live="polite">
      <h3>For the preparation room</h3>
      <p>
        Caught by {seenBy}
        {hall.kind !== 'screen' && `, enlarged ${hall.enlarged} times`}; farthest seat {hall.seat}{' '}
        m; parallel light by {hall.by === 'lenses' ? 'lenses' : 'distance alone'}.
      </p>
      {arrangements.map((one, i) => (
        <section key={i}>
          <h4>
            {i + 1}. {one.shows.map((name) => sightWords[name]).join('; ')}
          </h4>
          <dl>
            {settingRows(one, hall).map(([name, words]) => (
              <div key={name}>
                <dt>{name}</dt>
                <dd>{words}</dd>
              </div>
            ))}
          </dl>
          <ul class="sights">
            {one.sights
              .filter(({ name }) => one.shows.includes(name))
              .map((sight) => (
                <SightItem key={sight.name} sight={sight} />
              ))}
          </ul>
          <button type="button" onClick={() => onBench(model, one)}>
            Set it on the bench
          </button>
        </section>
      ))}
      {without.map(({ name, why }) => (
        <p key={name} class="why">
          Nothing in the cupboard shows {sightWords[name]}. {why}
        </p>
      ))}
      {lightsUsed.map((light) => (
        <p key={light} class="caution">
          {cautionFor(light)}
        </p>
      ))}
      {lightsUsed.length > 0 && (
        <button type="button" class="print" onClick={print}>
          Print it
        </button>
      )}
    </article>
  );
}

function settingRows({ slide, light, demonstration, sights, shows }: Arrangement, hall: Hall) {
  const { sourceWidth, sourceDistance, distance } = demonstration;
  const round = (length: number) => shownLength(Number(length.toPrecision(3)));
  const apart = slide.slits > 1 ? `, ${round(slide.spacing)} apart` : '';
  const longest = Math.max(
    ...sights.filter(({ name }) => shows.includes(name)).map(({ exposure }) => exposure),
  );
  const byLens = hall.by === 'lenses';
  return [
    ['Light', light.name],
    ['Source slit', `${round(sourceWidth)} wide at most`],
    [byLens ? 'Collimator' : 'Source slit to slits', round(sourceDistance)],
    ['Slide', `${counted(slide.slits, 'slit')}, ${round(slide.width)} wide${apart}`],
    [byLens ? 'Camera lens' : 'Slits to screen', round(distance)],
    [
      'Exposure',
      longest > 1
        ? `${formatNumber(longest, 2)} times as long as for the middle`
        : 'as for the middle',
    ],
  ] as const;
}

/** Put an arrangement on the bench, as far as it reaches. */
function onBench(model: BenchModel, one: Arrangement): void {
  const { slide, demonstration } = one;
  model.show({
    ...model.setting.value,
    ...benchOf(one),
    ...slide,
    ...(slide.slits === 1 ? { spacing: model.setting.value.spacing } : {}),
    ...{ blocked: 0, placeError: 0, incidence: 0 },
    sourceWidth: demonstration.sourceWidth,
    collimatorFocalLength: demonstration.sourceDistance,
    focalLength: demonstration.distance,
    span: Math.min(0.2, (8 * 550e-9 * demonstration.distance) / (slide.spacing || slide.width)),
  });
}

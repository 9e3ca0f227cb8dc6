import { useState } from 'preact/hooks';
import {
  type Arrangement,
  type Cupboard,
  type Plan,
  planDemonstration,
} from '../../camera/plan-demonstration';
import { lensesBy, type ParallelBy, type SightName, sightNames } from '../../camera/will-it-show';
import type { BenchLight, BenchSetting } from '../../figures/bench/setting';
import { counted, shownLength } from '../../figures/shown';
import { formatNumber } from '../../quantity/format-number';
import type { BenchModel } from './bench-model';
import { cautionFor } from './caution';
import {
  asked,
  type Hall,
  Labelled,
  number,
  SightItem,
  sightWords,
  Typed,
  whereOf,
} from './will-show';

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

/** What a cupboard has to show a class what it shall see. */
export function Planning({ model, hall, by }: { model: BenchModel; hall: Hall; by: ParallelBy }) {
  const [wishes, setWishes] = useState<readonly SightName[]>(['orders']);
  const [chosen, setChosen] = useState<readonly string[]>(
    lights.slice(0, 2).map(({ name }) => name),
  );
  const [shelf, setShelf] = useState(usualShelf);
  const [made, setMade] = useState<{ plan?: Plan; by: ParallelBy; fault?: string }>({ by });
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
        whereOf(hall, by),
      );
    });
    setMade({ plan: value, by, fault });
  };
  const { collimator, camera } = lensesBy(by);
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
          words={collimator ? 'Collimators, mm' : 'Source slit to slits, mm'}
          value={shelf.collimators}
          onInput={(collimators) => setShelf({ ...shelf, collimators })}
        />
        <Typed
          words={camera ? 'Camera lenses, mm' : 'Slits to screen, mm'}
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
      {made.plan && <PlanSheet plan={made.plan} by={made.by} model={model} hall={hall} />}
    </div>
  );
}

const benchOf = ({ light }: Arrangement) => lights.find(({ name }) => name === light.name)!.bench;

const byWords: Record<ParallelBy, string> = {
  lenses: 'lenses',
  distance: 'distance alone',
  collimator: 'a collimator, and a screen without a lens',
  'camera lens': 'distance, with a lens behind the slits',
};

/** The proposal, as it is read on the screen and printed for the preparation room. */
function PlanSheet({
  plan,
  by,
  model,
  hall,
}: {
  plan: Plan;
  by: ParallelBy;
  model: BenchModel;
  hall: Hall;
}) {
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
        m; parallel light by {byWords[by]}.
      </p>
      {arrangements.map((one, i) => (
        <section key={i}>
          <h4>
            {i + 1}. {one.shows.map((name) => sightWords[name]).join('; ')}
          </h4>
          <dl>
            {settingRows(one).map(([name, words]) => (
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

function settingRows({ slide, light, demonstration, sights, shows }: Arrangement) {
  const { sourceWidth, sourceDistance, distance, by } = demonstration;
  const round = (length: number) => shownLength(Number(length.toPrecision(3)));
  const apart = slide.slits > 1 ? `, ${round(slide.spacing)} apart` : '';
  const longest = Math.max(
    ...sights.filter(({ name }) => shows.includes(name)).map(({ exposure }) => exposure),
  );
  const { collimator, camera } = lensesBy(by);
  return [
    ['Light', light.name],
    ['Source slit', `${round(sourceWidth)} wide at most`],
    [collimator ? 'Collimator' : 'Source slit to slits', round(sourceDistance)],
    ['Slide', `${counted(slide.slits, 'slit')}, ${round(slide.width)} wide${apart}`],
    [camera ? 'Camera lens' : 'Slits to screen', round(distance)],
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
  const { collimator, camera } = lensesBy(demonstration.by);
  model.show({
    ...model.setting.value,
    ...benchOf(one),
    ...slide,
    ...(slide.slits === 1 ? { spacing: model.setting.value.spacing } : {}),
    ...{ blocked: 0, placeError: 0, incidence: 0 },
    sourceWidth: demonstration.sourceWidth,
    beam: collimator ? 'collimator' : 'distance',
    [collimator ? 'collimatorFocalLength' : 'sourceDistance']: demonstration.sourceDistance,
    stand: camera ? 'film' : 'screen',
    [camera ? 'focalLength' : 'screenDistance']: demonstration.distance,
    span: Math.min(0.2, (8 * 550e-9 * demonstration.distance) / (slide.spacing || slide.width)),
  });
}

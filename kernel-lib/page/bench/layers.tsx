import { useEffect, useRef, useState } from 'preact/hooks';
import type { BenchPattern, PlaceReading } from '../../figures/bench/compute';
import { changeWords } from '../../figures/bench/describe';
import { isEnd } from '../../figures/bench/ends';
import {
  growth,
  type Layer,
  type Layers,
  layerNames,
  pathDifference,
} from '../../figures/bench/layers';
import { counted, shownLength } from '../../figures/shown';
import { formatNumber } from '../../quantity/format-number';
import { useSettled, useStore, useValue } from '../store';
import type { BenchModel } from './bench-model';
import { fixed, useReading } from './reading';

const words: Record<Layer, string> = {
  ghost: 'Curve before',
  before: 'Film before',
  envelope: 'Envelope of one slit',
  missing: 'Missing orders',
  wavelengths: 'Orders of several wavelengths',
  paths: 'Paths at the slits',
  colour: 'Colour diagram',
};

/** Switches for what may be laid over film and curve; each by itself. */
export function LayerSwitches({ model }: { model: BenchModel }) {
  const layers = useStore(model.layers);
  const several = useValue(model.setting, ({ slits }) => slits > 1);
  const isGrowing = useStore(model.isGrowing);
  return (
    <fieldset class="layers">
      <legend>Shown as well</legend>
      {layerNames.map((name, i) => (
        <button
          key={name}
          type="button"
          aria-pressed={layers.has(name)}
          aria-keyshortcuts={String(i + 1)}
          onClick={() => model.layer(name)}
        >
          {words[name]}
        </button>
      ))}
      <button
        type="button"
        disabled={!several && !isGrowing}
        aria-pressed={isGrowing}
        onClick={() => grow(model)}
      >
        {isGrowing ? 'Stop growing' : 'Let the slits grow'}
      </button>
    </fieldset>
  );
}

/** How long each number of slits is shown while they grow, ms. */
const EACH = 900;
type Wait = (then: () => void, ms: number) => void;
const later: Wait = (then, ms) => void setTimeout(then, ms);

/**
 * Add slits one by one up to the number on the bench; when they grow already, stop there. Whatever else is
 * moved meanwhile ends it.
 *
 * @returns resolves when the last number stands, or it was ended
 */
export function grow(model: BenchModel, wait: Wait = later): Promise<void> {
  if (model.isGrowing.value) {
    model.isGrowing.set(false);
    return Promise.resolve();
  }
  const settings = growth(model.setting.value);
  model.isGrowing.set(true);
  return new Promise((done) => {
    const end = () => {
      model.isGrowing.set(false);
      done();
    };
    const next = (i: number) => {
      model.show(settings[i]);
      const { value: shown } = model.setting;
      if (i === settings.length - 1) return wait(end, EACH);
      wait(() => {
        if (model.isGrowing.value && model.setting.value === shown) next(i + 1);
        else end();
      }, EACH);
    };
    next(0);
  });
}

/** Tells those who do not see it what has changed on the bench, and what the film shows then. */
export function Announced({ model }: { model: BenchModel }) {
  const pattern = useSettled(model.pattern, 700);
  const isGrowing = useStore(model.isGrowing);
  const before = useRef(pattern);
  const [said, setSaid] = useState('');
  useEffect(() => {
    const moved = changeWords(before.current.setting, pattern.setting);
    before.current = pattern;
    if (moved) setSaid(`${moved} ${pattern.strip.alt}`);
  }, [pattern]);
  return (
    <p class="aloud" role="status">
      {isGrowing ? 'Slits are added one by one.' : said}
    </p>
  );
}

/** The film in one sentence, for all to read; it follows when nothing moves any more. */
export function FilmSentence({ model }: { model: BenchModel }) {
  return <p class="sentence">{useSettled(model.pattern, 300).strip.alt}</p>;
}

const WIDE = 280;
const HIGH = 280;
const SCREEN = 84;
/** How far the outermost slits of a drawing stand apart, and how far all rays go on side by side. */
const EXTENT = 140;
const REST = 64;
/** Sine of the rays in the drawing at the film's end. */
const MOST_SINE = 0.82;
/** More slits than this are not told apart in a drawing. */
const MOST_SLITS = 6;

/** Rays from the slits towards the hairline: how much longer each path is, in waves, and the arrow that comes of it. */
export function PathsView({ model }: { model: BenchModel }) {
  const reading = useReading(model);
  const pattern = useStore(model.pattern);
  const isOn = useValue(model.layers, (layers) => layers.has('paths'));
  if (!isOn) return null;
  const { setting } = pattern;
  const path = pathDifference(pattern, reading);
  const d = setting.slits > 1 ? 'd' : 'a';
  const waves = fixed(path.waves, 2);
  const larger = enlarged(pattern);
  return (
    <figure class="paths">
      <svg
        viewBox={`0 0 ${WIDE} ${HIGH}`}
        role="img"
        aria-label={`Paths from the slits in the direction of the hairline: ${setting.slits > 1 ? 'neighbouring paths' : 'those from the two edges'} differ by ${waves} wavelengths.`}
      >
        <Paths pattern={pattern} reading={reading} waves={path.waves} />
      </svg>
      <figcaption>
        <strong>
          <i>{d}</i> sin <i>θ</i> = {waves} <i>λ</i>
        </strong>
        <span class="how">
          {shownLength(Number(path.length.toPrecision(3)))} between{' '}
          {setting.slits > 1 ? 'neighbouring paths' : 'the edges'}
          {setting.slits > 1 && `: each arrow turned by ${fixed(path.turn * 360, 0)}°`}. Angle drawn{' '}
          {formatNumber(larger, 2)} times as large.
        </span>
      </figcaption>
    </figure>
  );
}

/** How many times the sines are drawn larger than they are. */
function enlarged({ strip }: BenchPattern): number {
  const most = Math.max(Math.abs(strip.s[0]), Math.abs(strip.s[strip.s.length - 1]));
  return MOST_SINE / most;
}

function Paths({
  pattern,
  reading,
  waves,
}: {
  pattern: BenchPattern;
  reading: PlaceReading;
  waves: number;
}) {
  const { aperture, setting } = pattern;
  const all = aperture.slits;
  const shown = all.slice(0, MOST_SLITS);
  // Of one slit the two edges.
  const { width } = setting;
  const points =
    all.length === 1
      ? [-0.5, 0.5].map((side) => all[0].centre + side * width)
      : shown.map(({ centre }) => centre);
  const middle = (points[0] + points[points.length - 1]) / 2;
  const apart = points[points.length - 1] - points[0];
  const perMetre = Math.min(EXTENT, 80 * (points.length - 1)) / apart;
  const y = (place: number) => HIGH / 2 - (place - middle) * perMetre;
  const sine = reading.s * enlarged(pattern);
  const [along, across] = [Math.sqrt(1 - sine * sine), sine];
  const least = sine >= 0 ? points[points.length - 1] : points[0];
  const wave = (setting.slits > 1 ? setting.spacing : width) * perMetre * Math.abs(sine);
  const ofOne = waves === 0 ? 0 : wave / Math.abs(waves);
  // All behind the foot of the perpendicular is equally long.
  const foots = points.map((place) => {
    const extra = Math.abs((least - place) * perMetre * sine);
    return {
      ...{ place, extra },
      x: SCREEN + extra * along,
      y: y(place) - extra * across,
    };
  });
  const ends = foots.map((foot) => ({ x: foot.x + REST * along, y: foot.y - REST * across }));
  const [top, bottom] = [foots[foots.length - 1], foots[0]];
  const radius = Math.min(17, Math.max(7, (apart * perMetre * 0.46) / (points.length - 1)));
  const half = Math.max(1.5, (width * perMetre) / 2);
  const openings = all.length === 1 ? [all[0].centre] : points;
  let from = 6;
  const bars: string[] = [];
  for (const place of [...openings].reverse()) {
    bars.push(`M${SCREEN} ${from}V${y(place) - half}`);
    from = y(place) + half;
  }
  bars.push(`M${SCREEN} ${from}V${HIGH - 6}`);
  return (
    <>
      <path class="screen" d={bars.join('')} />
      <path class="ray" d={foots.map(({ place }) => `M8 ${y(place)}H${SCREEN}`).join('')} />
      <path
        class="ray"
        d={foots.map((foot, i) => `M${foot.x} ${foot.y}L${ends[i].x} ${ends[i].y}`).join('')}
      />
      <path class="front" d={`M${bottom.x} ${bottom.y}L${top.x} ${top.y}`} />
      <g class="extra">
        {foots.map(({ place, extra, x, y: at }) => (
          <path
            key={place}
            d={`M${SCREEN} ${y(place)}L${x} ${at}`}
            stroke-dasharray={extra > 0 && ofOne > 5 ? `${ofOne / 2} ${ofOne / 2}` : undefined}
          />
        ))}
      </g>
      {all.length > 1 &&
        ends.map((end, i) => {
          const { phase } = reading.phasors[i];
          const [dx, dy] = [radius * Math.cos(phase), -radius * Math.sin(phase)];
          const x = end.x + radius + 4;
          return (
            <g key={i} class="phase">
              <circle cx={x} cy={end.y} r={radius} />
              <path class="arrow" d={arrow(x - dx, end.y - dy, x + dx, end.y + dy)} />
              <text x={SCREEN - 12} y={y(points[i]) - 5} text-anchor="end">
                {i + 1}
              </text>
            </g>
          );
        })}
      {all.length > shown.length && (
        <text class="rest" x="8" y={HIGH - 4}>
          {shown.length} of {counted(all.length, 'slit')}
        </text>
      )}
    </>
  );
}

function arrow(x1: number, y1: number, x2: number, y2: number): string {
  const length = Math.hypot(x2 - x1, y2 - y1);
  const [ux, uy] = [(x2 - x1) / length, (y2 - y1) / length];
  const size = Math.min(9, 0.5 * length);
  const side = (by: number) =>
    `${x2 - size * ux + by * size * 0.5 * uy} ${y2 - size * uy - by * size * 0.5 * ux}`;
  return `M${x1} ${y1}L${x2} ${y2}M${side(1)}L${x2} ${y2}L${side(-1)}`;
}

export interface LegendKey {
  readonly line: 'brightness' | 'single' | 'ghost' | 'envelope' | 'missing' | 'burnt';
  readonly words: string;
}

/** Which line and which sign of film and curve is which. */
export function legendKeys(
  { single, reading, setting, strip }: BenchPattern,
  ghost: BenchPattern | undefined,
  layers: Layers,
): LegendKey[] {
  const nm = `${Number((reading * 1e9).toPrecision(5))} nm`;
  const burnt: LegendKey | false = strip.burntOut.includes(1) && {
    line: 'burnt',
    words: 'over the film: burnt out, more light than it can show',
  };
  const before: LegendKey | false = ghost !== undefined &&
    layers.has('ghost') && { line: 'ghost', words: 'before the last change' };
  const keys: (LegendKey | false)[] = isEnd(setting)
    ? [
        { line: 'brightness', words: 'brightness against the brightest place' },
        single !== undefined && { line: 'single', words: 'by the far-field formula' },
        before,
        burnt,
      ]
    : [
        {
          line: 'brightness',
          words: setting.absolute
            ? 'brightness against the middle of one slit alone'
            : 'brightness against that in the middle',
        },
        single !== undefined && { line: 'single', words: `${nm} alone` },
        before,
        layers.has('envelope') && { line: 'envelope', words: `one slit alone at ${nm}` },
        layers.has('missing') &&
          setting.slits > 1 && { line: 'missing', words: 'order missing: each slit is dark there' },
        burnt,
      ];
  return keys.filter((key) => key !== false);
}

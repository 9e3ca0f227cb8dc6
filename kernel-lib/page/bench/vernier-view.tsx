import type { RefObject } from 'preact';
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { verniers } from '../../figures/bench/setting';
import { vernierFigure } from '../../figures/vernier-figure';
import { type VernierScale, vernierScale } from '../../spectrometer/vernier';
import { useStore } from '../store';
import type { BenchModel } from './bench-model';

/** Width of an element, CSS pixels, and the size of its letters. */
function useSize(box: RefObject<HTMLElement>): { width: number; letters: number } {
  const [size, setSize] = useState({ width: 0, letters: 13 });
  useEffect(() => {
    const element = box.current!;
    const measure = () =>
      setSize({
        width: element.clientWidth,
        letters: Number.parseFloat(getComputedStyle(element).fontSize),
      });
    const resized = new ResizeObserver(measure);
    resized.observe(element);
    measure();
    return () => resized.disconnect();
  }, [box]);
  return size;
}

/** One vernier as it stands: whole, and its part under the magnifier, wide enough that one line beside another is told apart. */
export function VernierView({
  model,
  title,
  angle,
  reads,
}: {
  model: BenchModel;
  title: string;
  angle: number;
  reads: string | undefined;
}) {
  const setting = useStore(model.setting);
  const box = useRef<HTMLDivElement>(null);
  const { width, letters } = useSize(box);
  const leastCount = verniers[setting.vernier];
  const scale = vernierScale(angle, { leastCount, exact: true });
  const { divisions } = scale;
  const line = Math.min(setting.magnifier, divisions);
  const move = (to: number) =>
    model.change({ magnifier: Math.min(divisions, Math.max(0, Math.round(to))) });
  const keys = (event: KeyboardEvent) => {
    const to = {
      ...{ ArrowLeft: line - 1, ArrowDown: line - 1, ArrowRight: line + 1, ArrowUp: line + 1 },
      ...{ PageDown: line - 5, PageUp: line + 5, Home: 0, End: divisions },
    }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    move(to);
  };
  const sentence = useMemo(
    () => vernierFigure(angle, { leastCount, exact: true }).alt,
    [angle, leastCount],
  );
  const whole = laidWhole(scale, width);
  const point = (event: PointerEvent) => {
    if (event.type === 'pointermove' && event.buttons === 0) return;
    const { left } = box.current!.getBoundingClientRect();
    move(whole.lineAt(event.clientX - left));
  };
  return (
    <figure class="vernier">
      <figcaption>
        <b>{title}</b>
        {reads !== undefined && <output>{reads}</output>}
      </figcaption>
      <div
        ref={box}
        class="scales"
        role="slider"
        tabIndex={0}
        aria-label={`${title}, magnifier. Arrow keys move it from line to line. ${sentence}`}
        aria-valuemin={0}
        aria-valuemax={divisions}
        aria-valuenow={line}
        aria-valuetext={`over line ${line} of the vernier`}
        onKeyDown={keys}
        onPointerDown={point}
        onPointerMove={point}
      >
        {width > 0 && (
          <>
            <Scales scale={scale} laid={whole} letters={letters} width={width} magnified={line} />
            <Scales
              scale={scale}
              laid={laidUnderGlass(scale, line, width)}
              letters={letters}
              width={width}
            />
          </>
        )}
      </div>
    </figure>
  );
}

/** Where the scales are drawn: a place for each angle, pixels from the left. */
interface Laid {
  readonly x: (angle: number) => number;
  readonly lineAt: (x: number) => number;
  /** Whether each line of the vernier is named, not only the long ones. */
  readonly isGlass: boolean;
}

/** The whole vernier, with two divisions of the circle to each side. */
function laidWhole(scale: VernierScale, width: number): Laid {
  return laid(scale, 0, scale.divisions, 2, width, false);
}

/** So many pixels one line of the vernier should stand farther from its fellow on the circle than the line beside it. */
const TELLS = 1.7;

function laidUnderGlass(scale: VernierScale, line: number, width: number): Laid {
  const shown = width / (TELLS * scale.divisions);
  const half = Math.min(3, Math.max(1.6, shown / 2));
  return laid(scale, line, line, half, width, true);
}

function laid(
  { vernier, mainDivision }: VernierScale,
  from: number,
  to: number,
  margin: number,
  width: number,
  isGlass: boolean,
): Laid {
  const step = vernier[1].angle - vernier[0].angle;
  const low = vernier[0].angle + from * step - margin * mainDivision;
  const high = vernier[0].angle + to * step + margin * mainDivision;
  return {
    x: (angle) => ((angle - low) / (high - low)) * width,
    lineAt: (x) => (low + (x / width) * (high - low) - vernier[0].angle) / step,
    isGlass,
  };
}

/** Room for a name, in letters. */
const NAME = 2.6;

/** The circle's lines stand on an edge, the vernier's hang from it. */
function Scales({
  scale,
  laid: { x, isGlass },
  letters,
  width,
  magnified,
}: {
  scale: VernierScale;
  laid: Laid;
  letters: number;
  width: number;
  magnified?: number;
}) {
  const long = letters * (isGlass ? 1.25 : 0.85);
  const edge = letters * 1.25 + long;
  const height = 2 * edge;
  const tall = { long: 1, middle: 0.78, short: 0.55 };
  const inside = (at: number) => at >= -1 && at <= width + 1;
  const main = scale.main.filter(({ angle }) => inside(x(angle)));
  const vernier = scale.vernier.filter(({ angle }) => inside(x(angle)));
  const named = (angle: number, label: string) => {
    const room = 0.32 * letters * label.length;
    return x(angle) > room && x(angle) < width - room;
  };
  // Names of the circle that would run into each other stand at every other line, or fifth.
  const labels = main.filter(({ label, angle }) => label && named(angle, label));
  const gap = labels.length > 1 ? x(labels[1].angle) - x(labels[0].angle) : width;
  const every = [1, 2, 5, 10].find((count) => count * gap > NAME * letters) ?? 10;
  const shown = labels.filter(({ label }) => Number.parseInt(label!, 10) % every === 0);
  const lower = vernier
    .map(({ index, angle, label = '' }) => ({
      index,
      angle,
      name: isGlass ? lineName(scale, index) : label,
    }))
    .filter(({ angle, name }) => name && named(angle, name));
  const path = [
    `M0 ${edge}H${width}`,
    ...main.map(({ angle, length }) => `M${x(angle)} ${edge}v${-long * tall[length]}`),
    ...vernier.map(({ angle, length }) => `M${x(angle)} ${edge}v${long * tall[length]}`),
  ].join('');
  const glass = magnified === undefined ? undefined : x(scale.vernier[magnified].angle);
  return (
    <svg
      class={isGlass ? 'glass' : 'whole'}
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      aria-hidden="true"
    >
      {glass !== undefined && (
        <rect class="lens" x={glass - letters} y={1} width={2 * letters} height={height - 2} />
      )}
      <path class="scale-lines" d={path} />
      {shown.map(({ angle, label }) => (
        <text key={angle} x={x(angle)} y={letters} text-anchor="middle">
          {label}
        </text>
      ))}
      {lower.map(({ index, angle, name }) => (
        <text
          key={index}
          class="of-vernier"
          x={x(angle)}
          y={height - letters * 0.2}
          text-anchor="middle"
        >
          {name}
        </text>
      ))}
    </svg>
  );
}

/** What a line of the vernier adds, short: `17`, `17½`, `2′ 40″`. */
function lineName({ leastCount }: VernierScale, index: number): string {
  const seconds = Math.round(((index * leastCount) / Math.PI) * 648000);
  const [minutes, rest] = [Math.floor(seconds / 60), seconds % 60];
  if (rest === 0) return `${minutes}′`;
  return rest === 30 ? `${minutes}½′` : `${minutes}′${rest}″`;
}

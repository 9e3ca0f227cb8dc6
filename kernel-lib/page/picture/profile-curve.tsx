import { useMemo, useRef, useState } from 'preact/hooks';
import type { PictureProfile } from '../../fitting/picture/picture-profile';
import { formatNumber } from '../../quantity/format-number';
import { useStore } from '../store';
import { apart } from './picture-drawn';
import { atAlong } from './picture-setting';
import { type PictureWork, pixelsAlong } from './picture-work';
import { useWidth } from './use-frame';
import { stepOf, ticksOf } from './viewport';

const edge = { left: 44, top: 8, right: 20, bottom: 38 };
const tall = 170;

/** A drawing that holds what can be moved; no element of HTML is one. */
const group = 'group';

/** The least light that a logarithmic axis shows, as a share of the most. */
const decades = 1e-3;

interface Props {
  work: PictureWork;
  say: (words: string) => void;
}

/** The profile along the band, drawn while it is dragged; a click marks a place. */
export function ProfileCurve({ work, say }: Props) {
  const { band, kind } = useStore(work.setting);
  const { profile, fault, scale, places, orders, isQuick } = useStore(work.outcome);
  const box = useRef<HTMLDivElement>(null);
  const svg = useRef<SVGSVGElement>(null);
  const [log, setLog] = useState(false);
  const width = Math.max(80, useWidth(box) - edge.left - edge.right);
  const factor = scale ? 1e3 : 1;
  const drawn = useMemo(
    () => profile && curveOf(profile, { width, factor, log }),
    [profile, width, factor, log],
  );
  if (!profile || !drawn) {
    return (
      <div class="curve" ref={box}>
        <p class="notice" role="alert">
          {fault}
        </p>
      </div>
    );
  }
  const toPlace = (x: number) => (drawn.from + (x / width) * (drawn.to - drawn.from)) / factor;
  const atPlace = (place: number) =>
    ((place * factor - drawn.from) / (drawn.to - drawn.from)) * width;
  const pointAt = (place: number) => atAlong(band, pixelsAlong(band, scale, place));
  const labelled = apart(places.map(atPlace));
  const name = kind === 'minima' ? 'Dark place' : 'Bright place';
  const unit = scale ? 'mm' : 'pixels';
  return (
    <div class="curve" ref={box}>
      {/* biome-ignore lint/a11y/useKeyWithClickEvents: by keys a place is added beside the list of places and moved here */}
      <svg
        ref={svg}
        width={width + edge.left + edge.right}
        height={tall + edge.top + edge.bottom}
        data-quick={isQuick}
        role={group}
        aria-label={`Light along the band: ${profile.x.length} points over ${formatNumber(drawn.to - drawn.from, 4)} ${unit}, channel ${profile.channel}${drawn.full > 0 ? `, ${drawn.full} of them saturated` : ''}`}
        onClick={(event) => {
          const x = event.clientX - svg.current!.getBoundingClientRect().left - edge.left;
          if (x < 0 || x > width || (event.target as Element).closest('.marked')) return;
          work.mark(pointAt(toPlace(x)));
          say(`${work.setting.value.marked.length} places are marked.`);
        }}
      >
        <g transform={`translate(${edge.left} ${edge.top})`}>
          <rect class="ground" width={width} height={tall} />
          <g class="axes">
            <rect class="edge" width={width} height={tall} />
            {ticksOf(drawn.from, drawn.to, width / 90).map((value) => (
              <g key={value} transform={`translate(${atPlace(value / factor)} ${tall})`}>
                <line y2={5} />
                <text y={18} text-anchor="middle">
                  {value}
                </text>
              </g>
            ))}
            {drawn.ticks.map(({ at, text }) => (
              <g key={text} transform={`translate(0 ${at})`}>
                <line x2={-5} />
                <text x={-8} y={4} text-anchor="end">
                  {text}
                </text>
              </g>
            ))}
            <text class="name" x={width / 2} y={tall + 34} text-anchor="middle">
              {scale ? 'place along the band / mm' : 'along the band / pixels'}
            </text>
          </g>
          <path class="line" d={drawn.path} />
          <path class="full" d={drawn.crosses} />
          {places.map((place, k) => (
            <g
              key={k}
              class="marked"
              role="slider"
              tabindex={0}
              aria-label={`${name} ${k + 1}, order ${orders[k]}`}
              aria-valuemin={0}
              aria-valuemax={Math.max(drawn.to, place * factor)}
              aria-valuenow={Number((place * factor).toFixed(3))}
              aria-valuetext={`${(place * factor).toFixed(scale ? 3 : 1)} ${unit}, order ${orders[k]}`}
              transform={`translate(${atPlace(place)} 0)`}
              onKeyDown={(event) => {
                const by = stepOf(event);
                if (event.key === 'Delete' || event.key === 'Backspace') work.removeMark(k);
                else if (by) {
                  const t = pixelsAlong(band, scale, place) + (by.x - by.y);
                  work.changeMark(k, work.inside(atAlong(band, t)));
                } else return;
                event.preventDefault();
                event.stopPropagation();
              }}
            >
              <rect class="reach" x={-10} width={20} height={tall} />
              <line y2={tall} />
              <text y={12} x={4}>
                {labelled.has(k) && orders[k]}
              </text>
            </g>
          ))}
        </g>
      </svg>
      <label class="check">
        <input type="checkbox" checked={log} onChange={() => setLog(!log)} />
        Weak light larger (each step up is ten times as much)
      </label>
    </div>
  );
}

interface CurveOptions {
  readonly width: number;
  readonly factor: number;
  readonly log: boolean;
}

/** The curve as a path: in each column of pixels from its least to its most. */
function curveOf(profile: PictureProfile, { width, factor, log }: CurveOptions) {
  const { x, y, saturated } = profile;
  const [from, to] = [x[0] * factor, x[x.length - 1] * factor];
  const high = y.reduce((a, b) => Math.max(a, b), 0) || 1;
  const low = Math.min(
    0,
    y.reduce((a, b) => Math.min(a, b), 0),
  );
  const height = (value: number) => {
    const part = log
      ? Math.max(0, 1 - Math.log10(Math.max(value / high, decades)) / Math.log10(decades))
      : (value - low) / (high - low);
    return Number((tall * (1 - 0.94 * part)).toFixed(1));
  };
  const column = (i: number) => ((x[i] * factor - from) / (to - from || 1)) * width;
  const points: string[] = [];
  let crosses = '';
  let full = 0;
  const each = Math.max(1, Math.floor(x.length / (2 * width)));
  for (let i = 0; i < x.length; i += each) {
    let [least, most] = [i, i];
    for (let k = i; k < Math.min(i + each, x.length); k++) {
      if (y[k] < y[least]) least = k;
      if (y[k] > y[most]) most = k;
    }
    for (const k of [...new Set([least, most])].sort((a, b) => a - b))
      points.push(`${column(k).toFixed(1)} ${height(y[k])}`);
  }
  for (let i = 0; i < x.length; i++) {
    if (!saturated[i]) continue;
    full++;
    if (full % Math.max(1, Math.round((8 * x.length) / (width * 3))) === 1 || x.length < width)
      crosses += `M${(column(i) - 3).toFixed(1)} ${height(y[i]) - 3}l6 6m0 -6l-6 6`;
  }
  const steps = log ? [1, 0.1, 0.01, 0.001].map((one) => one * high) : ticksOf(low, high, 4);
  const ticks = steps.map((value) => ({ at: height(value), text: formatNumber(value, 2) }));
  return { from, to, path: `M${points.join('L')}`, crosses, full, ticks };
}

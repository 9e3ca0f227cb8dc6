import { useEffect, useId, useMemo, useRef, useState } from 'preact/hooks';
import type { PicturePoint } from '../../fitting/picture/picture-scale';
import { useStore } from '../store';
import { alongBand, atAlong, marksOf, type PictureSetting } from './picture-setting';
import type { PictureOutcome, PictureWork } from './picture-work';
import { useOncePerFrame, useWidth } from './use-frame';
import {
  movedBy,
  onPicture,
  onScreen,
  type Size,
  showing,
  ticksOf,
  type Viewport,
  wholeIn,
  zoomedAt,
} from './viewport';

/** What a click on the picture does. */
export type Tool = 'band' | 'scale' | 'mark' | 'mask';

interface Props {
  work: PictureWork;
  /** The address of the file. */
  url: string;
  tool: Tool;
  say: (words: string) => void;
}

/** Room for the axes, px. */
const edge = { left: 44, top: 6, right: 10, bottom: 24 };

const steps: Record<string, PicturePoint> = {
  ArrowLeft: { x: -1, y: 0 },
  ArrowRight: { x: 1, y: 0 },
  ArrowUp: { x: 0, y: -1 },
  ArrowDown: { x: 0, y: 1 },
};

/** By how much an arrow key moves, pixels: 1, with Shift 10. */
export function stepOf(event: KeyboardEvent): PicturePoint | undefined {
  if (event.ctrlKey || event.metaKey || event.altKey) return undefined;
  const step = steps[event.key];
  const size = event.shiftKey ? 10 : 1;
  return step && { x: size * step.x, y: size * step.y };
}

/** The picture with its pixels counted along the edges, and all that is set on it. */
export function PicturePlane({ work, url, tool, say }: Props) {
  const setting = useStore(work.setting);
  const outcome = useStore(work.outcome);
  const box = useRef<HTMLDivElement>(null);
  const svg = useRef<SVGSVGElement>(null);
  const width = useWidth(box);
  const picture: Size = work;
  const frame = useMemo((): Size => {
    const wide = Math.max(80, width - edge.left - edge.right);
    const tall = Math.min(0.62 * window.innerHeight, (wide * picture.height) / picture.width);
    return { width: wide, height: Math.max(90, Math.round(tall)) };
  }, [width, picture]);
  const [port, setPort] = useState<Viewport>();
  const [cross, setCross] = useState<PicturePoint>();
  const [drawn, setDrawn] = useState<{ from: PicturePoint; to: PicturePoint }>();
  const whole = wholeIn(frame, picture);
  const seen = port && port.zoom > whole.zoom ? port : whole;
  const isZoomed = seen.zoom > whole.zoom;
  const latest = useRef({ seen, frame, tool, cross });
  latest.current = { seen, frame, tool, cross };
  const frames = useOncePerFrame();
  const clip = useId();

  const placeOf = (event: { clientX: number; clientY: number }): PicturePoint => {
    const { left, top } = svg.current!.getBoundingClientRect();
    return { x: event.clientX - left - edge.left, y: event.clientY - top - edge.top };
  };
  const zoomBy = (factor: number, at?: PicturePoint) => {
    const { seen, frame, cross } = latest.current;
    const middle = { x: frame.width / 2, y: frame.height / 2 };
    const about = at ?? (cross ? onScreen(seen, cross) : middle);
    setPort(zoomedAt(seen, factor, about, frame, picture));
  };

  /** A click, or Enter at the cross: what the tool does there. */
  const put = (at: PicturePoint) => {
    if (tool === 'mark') {
      work.mark(atAlong(setting.band, alongBand(setting.band, at)));
      const count = work.setting.value.marked.length;
      say(`${count} ${count === 1 ? 'place is' : 'places are'} marked.`);
    } else if (tool === 'scale' && setting.scale.by !== 'pixel') {
      const { scale } = setting;
      const full = scale.marks.length >= marksOf[scale.by];
      const marks = [...(full ? [] : scale.marks), work.inside(at)];
      work.change({ scale: { ...scale, marks } });
      say(`Mark ${marks.length} of ${marksOf[scale.by]} is set.`);
    } else if (tool === 'mask') {
      if (!drawn) {
        setDrawn({ from: at, to: at });
        say('The first corner is set; go to the opposite one and press Enter.');
      } else {
        work.addMask(drawn.from, at);
        setDrawn(undefined);
        say(`${work.setting.value.masks.length} parts are left out.`);
      }
    }
  };

  // The wheel zooms; where nothing is left to zoom out of, the page scrolls on.
  useEffect(() => {
    const { current } = svg;
    const turn = (event: WheelEvent) => {
      const { seen, frame } = latest.current;
      const out = event.deltaY > 0;
      if (out && seen.zoom <= wholeIn(frame, picture).zoom) return;
      event.preventDefault();
      zoomBy(Math.exp(-event.deltaY / (event.deltaMode === 1 ? 12 : 320)), placeOf(event));
    };
    current?.addEventListener('wheel', turn, { passive: false });
    return () => current?.removeEventListener('wheel', turn);
  }, []);

  // Fingers and mouse on the picture itself; handles have their own.
  const pointers = useRef(new Map<number, PicturePoint>());
  const began = useRef<{ at: PicturePoint; moved: boolean } | undefined>(undefined);
  const down = (event: PointerEvent) => {
    if (event.button !== 0) return;
    const at = placeOf(event);
    pointers.current.set(event.pointerId, at);
    svg.current!.setPointerCapture(event.pointerId);
    began.current = { at, moved: pointers.current.size > 1 };
    if (tool === 'mask' && pointers.current.size === 1 && !drawn)
      setDrawn({ from: onPicture(seen, at), to: onPicture(seen, at) });
  };
  const move = (event: PointerEvent) => {
    const before = pointers.current.get(event.pointerId);
    if (!before || !began.current) return;
    const at = placeOf(event);
    const { seen, frame } = latest.current;
    const others = [...pointers.current].filter(([id]) => id !== event.pointerId);
    pointers.current.set(event.pointerId, at);
    if (others.length === 1) {
      const [, other] = others[0];
      const apart = (p: PicturePoint) => Math.hypot(p.x - other.x, p.y - other.y);
      if (tool === 'mask') setDrawn(undefined);
      setPort(zoomedAt(seen, apart(at) / Math.max(8, apart(before)), other, frame, picture));
      return;
    }
    if (Math.hypot(at.x - began.current.at.x, at.y - began.current.at.y) > 4)
      began.current.moved = true;
    if (!began.current.moved) return;
    if (tool === 'mask' && drawn) setDrawn({ ...drawn, to: onPicture(seen, at) });
    else setPort(movedBy(seen, { x: at.x - before.x, y: at.y - before.y }, frame, picture));
  };
  const up = (event: PointerEvent) => {
    const at = placeOf(event);
    if (!pointers.current.delete(event.pointerId) || !began.current) return;
    const { moved } = began.current;
    if (pointers.current.size > 0) return;
    began.current = undefined;
    if (tool === 'mask' && drawn && moved) {
      work.addMask(drawn.from, onPicture(seen, at));
      setDrawn(undefined);
    } else if (tool === 'mask') setDrawn(undefined);
    else if (!moved) put(onPicture(seen, at));
  };
  const lost = (event: PointerEvent) => {
    pointers.current.delete(event.pointerId);
    began.current = undefined;
  };

  const key = (event: KeyboardEvent) => {
    if (event.target !== event.currentTarget) return;
    const step = stepOf(event);
    const { seen, frame } = latest.current;
    if (event.key === '+' || event.key === '=') zoomBy(1.5);
    else if (event.key === '-' || event.key === '−') zoomBy(1 / 1.5);
    else if (event.key === '0') setPort(whole);
    else if (step && tool === 'band')
      setPort(movedBy(seen, { x: -20 * step.x, y: -20 * step.y }, frame, picture));
    else if (step) {
      const from = cross ?? onPicture(seen, { x: frame.width / 2, y: frame.height / 2 });
      const at = work.inside({ x: from.x + step.x, y: from.y + step.y });
      setCross(at);
      if (drawn) setDrawn({ ...drawn, to: at });
      setPort(showing(seen, at, frame, picture));
      say(`x ${Math.round(at.x)}, y ${Math.round(at.y)}`);
    } else if ((event.key === 'Enter' || event.key === ' ') && cross && tool !== 'band') put(cross);
    else if (event.key === 'Escape' && drawn) setDrawn(undefined);
    else return;
    event.preventDefault();
    event.stopPropagation();
  };

  const total = {
    width: frame.width + edge.left + edge.right,
    height: frame.height + edge.top + edge.bottom,
  };
  const at = (point: PicturePoint) => onScreen(seen, point);
  const corner = at({ x: -0.5, y: -0.5 });
  const handles = {
    ...{ work, at, frames, say },
    toPicture: (event: PointerEvent) => onPicture(latest.current.seen, placeOf(event)),
  };
  return (
    <div class="plane" ref={box}>
      <div
        role="application"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: it is worked on by keys
        tabIndex={0}
        class="field"
        aria-label={`The photograph, ${picture.width} × ${picture.height} pixels. Plus and minus zoom, 0 shows all. ${
          tool === 'band'
            ? 'Arrow keys move what is seen.'
            : 'Arrow keys move the cross, Enter sets a mark there.'
        }`}
        onKeyDown={key}
        onFocus={({ target, currentTarget }) => {
          if (target === currentTarget && tool !== 'band' && !cross)
            setCross(work.inside(onPicture(seen, { x: frame.width / 2, y: frame.height / 2 })));
        }}
      >
        <svg
          ref={svg}
          width={total.width}
          height={total.height}
          data-tool={tool}
          style={{ touchAction: isZoomed || tool !== 'band' ? 'none' : 'pan-y' }}
          onPointerDown={down}
          onPointerMove={move}
          onPointerUp={up}
          onPointerCancel={lost}
        >
          <title>{`The photograph ${setting.file}`}</title>
          <defs>
            <clipPath id={clip}>
              <rect width={frame.width} height={frame.height} />
            </clipPath>
          </defs>
          <g transform={`translate(${edge.left} ${edge.top})`}>
            <rect class="ground" width={frame.width} height={frame.height} />
            <g clip-path={`url(#${clip})`}>
              <image
                href={url}
                x={corner.x}
                y={corner.y}
                width={picture.width * seen.zoom}
                height={picture.height * seen.zoom}
                preserveAspectRatio="none"
                style={{ imageRendering: seen.zoom > 3 ? 'pixelated' : 'auto' }}
              />
              <Masks setting={setting} drawn={drawn} at={at} />
              <BandDrawn setting={setting} outcome={outcome} at={at} zoom={seen.zoom} />
              <MarksDrawn setting={setting} outcome={outcome} at={at} zoom={seen.zoom} />
              {cross && tool !== 'band' && <Cross {...at(cross)} />}
            </g>
            <Axes seen={seen} frame={frame} />
            <BandHandles {...handles} setting={setting} zoom={seen.zoom} />
          </g>
        </svg>
      </div>
      <div class="zooming">
        <button type="button" aria-label="Zoom in" onClick={() => zoomBy(1.5)}>
          +
        </button>
        <button type="button" aria-label="Zoom out" onClick={() => zoomBy(1 / 1.5)}>
          −
        </button>
        <button type="button" aria-label="Show the whole picture" onClick={() => setPort(whole)}>
          All
        </button>
        <span class="note">{`${Math.round(100 * seen.zoom)} %`}</span>
      </div>
    </div>
  );
}

type ToScreen = (point: PicturePoint) => PicturePoint;

/** Pixels counted along the lower and the left edge. */
function Axes({ seen, frame }: { seen: Viewport; frame: Size }) {
  const right = onPicture(seen, { x: frame.width, y: frame.height });
  return (
    <g class="axes">
      <rect class="edge" width={frame.width} height={frame.height} />
      {ticksOf(seen.x, right.x, frame.width / 90).map((value) => {
        const { x } = onScreen(seen, { x: value, y: 0 });
        return (
          <g key={value} transform={`translate(${x} ${frame.height})`}>
            <line y2={5} />
            <text y={18} text-anchor="middle">
              {value}
            </text>
          </g>
        );
      })}
      {ticksOf(seen.y, right.y, frame.height / 50).map((value) => {
        const { y } = onScreen(seen, { x: 0, y: value });
        return (
          <g key={value} transform={`translate(0 ${y})`}>
            <line x2={-5} />
            <text x={-8} y={4} text-anchor="end">
              {value}
            </text>
          </g>
        );
      })}
    </g>
  );
}

const between = (a: PicturePoint, b: PicturePoint) => ({
  x: Math.min(a.x, b.x),
  y: Math.min(a.y, b.y),
  width: Math.abs(a.x - b.x),
  height: Math.abs(a.y - b.y),
});

interface MasksProps {
  setting: PictureSetting;
  drawn: { from: PicturePoint; to: PicturePoint } | undefined;
  at: ToScreen;
}

function Masks({ setting, drawn, at }: MasksProps) {
  const all = drawn ? [...setting.masks, drawn] : setting.masks;
  return (
    <g>
      {all.map(({ from, to }, k) => (
        <rect key={k} class="mask" {...between(at(from), at(to))} />
      ))}
    </g>
  );
}

/** The unit vectors along the band and across it. */
function directions({ band }: PictureSetting) {
  const [dx, dy] = [band.to.x - band.from.x, band.to.y - band.from.y];
  const length = Math.hypot(dx, dy) || 1;
  return { along: { x: dx / length, y: dy / length }, across: { x: -dy / length, y: dx / length } };
}

interface DrawnProps {
  setting: PictureSetting;
  outcome: PictureOutcome;
  at: ToScreen;
  zoom: number;
}

/** The band: its line, its edges, and where it is saturated. */
function BandDrawn({ setting, outcome, at }: DrawnProps) {
  const { band } = setting;
  const { across } = directions(setting);
  const half = band.width / 2;
  const beside = (point: PicturePoint, side: number) =>
    at({ x: point.x + side * half * across.x, y: point.y + side * half * across.y });
  const rim = [
    beside(band.from, 1),
    beside(band.to, 1),
    beside(band.to, -1),
    beside(band.from, -1),
  ];
  const line = (from: PicturePoint, to: PicturePoint) => ({
    x1: from.x,
    y1: from.y,
    x2: to.x,
    y2: to.y,
  });
  return (
    <g class="band">
      <polygon class="halo" points={rim.map(({ x, y }) => `${x},${y}`).join(' ')} />
      <polygon points={rim.map(({ x, y }) => `${x},${y}`).join(' ')} />
      <line class="middle" {...line(at(band.from), at(band.to))} />
      {fullParts(outcome).map(({ from, to }) => (
        <line key={from} class="full" {...line(at(atAlong(band, from)), at(atAlong(band, to)))} />
      ))}
    </g>
  );
}

/** Where along the band pixels were full, pixels from its first end. */
function fullParts({ profile }: PictureOutcome): { from: number; to: number }[] {
  if (!profile) return [];
  const { line, x, saturated } = profile;
  const length = Math.hypot(line.to.x - line.from.x, line.to.y - line.from.y);
  const span = x[x.length - 1] - x[0] || 1;
  const parts: { from: number; to: number }[] = [];
  let from = -1;
  for (let i = 0; i <= x.length; i++) {
    if (i < x.length && saturated[i]) {
      if (from < 0) from = i;
    } else if (from >= 0) {
      const along = (k: number) => (length * (x[k] - x[0])) / span;
      parts.push({ from: along(from), to: along(i - 1) });
      from = -1;
    }
  }
  // The line of a picture made smaller is shorter by its factor; the parts are shares of it all the same.
  return parts;
}

/** Marks of the scale, and marked places with their orders. */
function MarksDrawn({ setting, outcome, at, zoom }: DrawnProps) {
  const { scale, band, marked } = setting;
  const { across } = directions(setting);
  const reach = Math.max(band.width / 2, 8 / zoom) + 6 / zoom;
  const marks = scale.by === 'pixel' ? [] : scale.marks;
  return (
    <g>
      {marks.length > 1 && (
        <polyline
          class="ruler"
          points={[...marks, ...(marks.length === 4 ? [marks[0]] : [])]
            .map(at)
            .map(({ x, y }) => `${x},${y}`)
            .join(' ')}
        />
      )}
      {marks.map((mark, k) => {
        const { x, y } = at(mark);
        return (
          <g key={k} class="scale-mark" transform={`translate(${x} ${y})`}>
            <path d="M-9 0H9M0 -9V9" class="halo" />
            <path d="M-9 0H9M0 -9V9" />
            <text x={8} y={-8}>
              {k + 1}
            </text>
          </g>
        );
      })}
      {marked.map((one, k) => {
        const on = atAlong(band, alongBand(band, one));
        const [a, b] = [1, -1].map((side) =>
          at({ x: on.x + side * reach * across.x, y: on.y + side * reach * across.y }),
        );
        const top = a.y < b.y ? a : b;
        return (
          <g key={k} class="marked">
            <line class="halo" x1={a.x} y1={a.y} x2={b.x} y2={b.y} />
            <line x1={a.x} y1={a.y} x2={b.x} y2={b.y} />
            <text x={top.x} y={top.y - 4} text-anchor="middle">
              {outcome.orders[k]}
            </text>
          </g>
        );
      })}
    </g>
  );
}

const Cross = ({ x, y }: PicturePoint) => (
  <g class="cross" transform={`translate(${x} ${y})`}>
    <path class="halo" d="M-14 0H-3M3 0H14M0 -14V-3M0 3V14" />
    <path d="M-14 0H-3M3 0H14M0 -14V-3M0 3V14" />
  </g>
);

interface HandlesProps {
  work: PictureWork;
  setting: PictureSetting;
  at: ToScreen;
  zoom: number;
  toPicture: (event: PointerEvent) => PicturePoint;
  frames: ReturnType<typeof useOncePerFrame>;
  say: (words: string) => void;
}

/** What the band is dragged by: both ends, its middle, its width. By keys as well. */
function BandHandles({ work, setting, at, zoom, toPicture, frames }: HandlesProps) {
  const { band } = setting;
  const { along, across } = directions(setting);
  const middle = { x: (band.from.x + band.to.x) / 2, y: (band.from.y + band.to.y) / 2 };
  const off = Math.max(band.width / 2, 16 / zoom);
  // Not over the handle of the middle: a quarter along.
  const quarter = Math.hypot(band.to.x - band.from.x, band.to.y - band.from.y) / 4;
  const side = {
    x: middle.x + quarter * along.x + off * across.x,
    y: middle.y + quarter * along.y + off * across.y,
  };
  const told = ({ x, y }: PicturePoint) => `x ${x}, y ${y} pixels`;
  const widthAt = ({ x, y }: PicturePoint) =>
    2 * Math.abs((x - band.from.x) * across.x + (y - band.from.y) * across.y);
  const shared = { frames, toPicture, settle: () => work.settle() };
  return (
    <g>
      <Handle
        {...shared}
        label="First end of the band"
        at={at(band.from)}
        value={band.from.x}
        words={told(band.from)}
        most={work.width}
        onDrag={(to) => work.moveEnd('from', to, true)}
        onStep={(by) => work.moveEnd('from', { x: band.from.x + by.x, y: band.from.y + by.y })}
      />
      <Handle
        {...shared}
        label="Second end of the band"
        at={at(band.to)}
        value={band.to.x}
        words={told(band.to)}
        most={work.width}
        onDrag={(to) => work.moveEnd('to', to, true)}
        onStep={(by) => work.moveEnd('to', { x: band.to.x + by.x, y: band.to.y + by.y })}
      />
      <Handle
        {...shared}
        label="The whole band"
        shape="square"
        at={at(middle)}
        value={Math.round(middle.y)}
        words={told({ x: Math.round(middle.x), y: Math.round(middle.y) })}
        most={work.height}
        onDrag={(to) => {
          const { band } = work.setting.value;
          const from = { x: (band.from.x + band.to.x) / 2, y: (band.from.y + band.to.y) / 2 };
          work.moveBand({ x: to.x - from.x, y: to.y - from.y }, true);
        }}
        onStep={(by) => work.moveBand(by)}
      />
      <Handle
        {...shared}
        label="Width of the band"
        shape="diamond"
        at={at(side)}
        value={band.width}
        words={`${band.width} pixels`}
        most={work.height}
        onDrag={(to) => work.setWidth(widthAt(to), true)}
        onStep={(by) => work.setWidth(band.width + by.x - by.y)}
      />
    </g>
  );
}

interface HandleProps {
  label: string;
  shape?: 'round' | 'square' | 'diamond';
  at: PicturePoint;
  value: number;
  words: string;
  most: number;
  frames: ReturnType<typeof useOncePerFrame>;
  toPicture: (event: PointerEvent) => PicturePoint;
  onDrag: (to: PicturePoint) => void;
  onStep: (by: PicturePoint) => void;
  settle: () => void;
}

const shapes = {
  round: <circle r={7} />,
  square: <rect x={-6} y={-6} width={12} height={12} />,
  diamond: <rect x={-6} y={-6} width={12} height={12} transform="rotate(45)" />,
};

/** One thing to drag, as large as a finger; arrow keys move it by a pixel, with Shift by ten. */
function Handle(props: HandleProps) {
  const { label, shape = 'round', at, value, words, most } = props;
  const { frames, toPicture, onDrag, onStep, settle } = props;
  const held = useRef<number | undefined>(undefined);
  return (
    <g
      class="handle"
      role="slider"
      tabIndex={0}
      aria-label={label}
      aria-valuenow={value}
      aria-valuemin={0}
      aria-valuemax={Math.max(most, value)}
      aria-valuetext={words}
      transform={`translate(${at.x} ${at.y})`}
      onPointerDown={(event) => {
        if (event.button !== 0) return;
        event.stopPropagation();
        held.current = event.pointerId;
        event.currentTarget.setPointerCapture(event.pointerId);
      }}
      onPointerMove={(event) => {
        if (held.current !== event.pointerId) return;
        const to = toPicture(event);
        frames.ask(() => onDrag(to));
      }}
      onPointerUp={(event) => {
        if (held.current !== event.pointerId) return;
        held.current = undefined;
        event.stopPropagation();
        frames.now();
        settle();
      }}
      onPointerCancel={() => {
        held.current = undefined;
        settle();
      }}
      onKeyDown={(event) => {
        const by = stepOf(event);
        if (!by) return;
        event.preventDefault();
        event.stopPropagation();
        onStep(by);
      }}
    >
      <circle class="reach" r={16} />
      {shapes[shape]}
    </g>
  );
}

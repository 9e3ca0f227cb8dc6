import { useEffect, useId, useMemo, useRef, useState } from 'preact/hooks';
import type { PicturePoint } from '../../fitting/picture/picture-scale';
import { useStore } from '../store';
import { BandHandles } from './band-handles';
import { BandDrawn, Cross, MarksDrawn, Masks } from './picture-drawn';
import { alongBand, atAlong, marksOf } from './picture-setting';
import type { PictureWork } from './picture-work';
import { useOncePerFrame, useWidth } from './use-frame';
import {
  movedBy,
  onPicture,
  onScreen,
  type Size,
  showing,
  stepOf,
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
const edge = { left: 44, top: 6, right: 20, bottom: 24 };

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
        <button
          type="button"
          aria-label="All: show the whole picture"
          onClick={() => setPort(whole)}
        >
          All
        </button>
        <span class="note">{`${Math.round(100 * seen.zoom)} %`}</span>
      </div>
    </div>
  );
}

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

import { useRef } from 'preact/hooks';
import type { PicturePoint } from '../../fitting/picture/picture-scale';
import type { ToScreen } from './picture-drawn';
import { atPart, directions, type PictureSetting, tenth, tenths } from './picture-setting';
import type { PictureWork } from './picture-work';
import type { useOncePerFrame } from './use-frame';
import { stepOf } from './viewport';

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
export function BandHandles({ work, setting, at, zoom, toPicture, frames }: HandlesProps) {
  const { band } = setting;
  const { along, across } = directions(setting);
  const middle = atPart(setting, 0.5);
  const holder = atPart(setting, 0.25);
  const off = Math.max(band.width / 2, 16 / zoom);
  // Not over the pattern's brightest part: a quarter along, on both sides of the middle.
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
        at={at(holder)}
        value={tenth(holder.y)}
        words={told(tenths(holder))}
        most={work.height}
        onDrag={(to) => {
          const from = atPart(work.setting.value, 0.25);
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
      tabindex={0}
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

import { useEffect, useRef } from 'preact/hooks';
import type { BenchModel } from './bench-model';
import { type CurveLook, drawCurve } from './draw-curve';

function lookOf(element: HTMLElement): CurveLook & { side: number } {
  const style = getComputedStyle(element);
  const of = (name: string) => style.getPropertyValue(name).trim();
  return {
    ink: of('--ink'),
    soft: of('--soft'),
    rule: of('--rule'),
    ghost: of('--ghost'),
    blue: of('--blue'),
    font: style.fontFamily,
    letters: Number.parseFloat(style.fontSize),
    side: Number.parseFloat(style.getPropertyValue('padding-left')),
  };
}

/** The curve under the film, its ends where the film's are. */
export function Curve({ model }: { model: BenchModel }) {
  const box = useRef<HTMLDivElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const [frame, place] = [box.current!, canvas.current!];
    const context = place.getContext('2d');
    if (!context) return;
    let look = lookOf(frame);
    let size = { width: 0, height: 0 };
    const draw = () => {
      const { width, height } = size;
      if (width === 0) return;
      const edges = { width, height, left: look.side, right: look.side };
      drawCurve(context, edges, look, model.pattern.value, model.ghost.value);
    };
    const fit = () => {
      look = lookOf(frame);
      const { clientWidth: width, clientHeight: height } = frame;
      const dots = Math.min(2, devicePixelRatio || 1);
      size = { width, height };
      place.width = Math.round(width * dots);
      place.height = Math.round(height * dots);
      context.setTransform(dots, 0, 0, dots, 0, 0);
      draw();
    };
    const resized = new ResizeObserver(fit);
    resized.observe(frame);
    // A darkened room changes the ink.
    const room = frame.closest('.bench');
    const restyled = new MutationObserver(fit);
    if (room)
      restyled.observe(room, {
        attributes: true,
        attributeFilter: ['data-room', 'data-large'],
      });
    const stop = model.pattern.subscribe(draw);
    return () => {
      resized.disconnect();
      restyled.disconnect();
      stop();
    };
  }, [model]);
  return (
    <div class="curve" ref={box}>
      <canvas ref={canvas} />
    </div>
  );
}

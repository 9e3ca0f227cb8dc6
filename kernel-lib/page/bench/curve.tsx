import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import type { BenchModel } from './bench-model';
import { type CurveLook, drawCurve } from './draw-curve';

/** Colours and letters as the page's style has them for what stands in `element`. */
export function lookOf(element: HTMLElement): CurveLook & { side: number } {
  const style = getComputedStyle(element);
  const of = (name: string) => style.getPropertyValue(name).trim();
  return {
    ink: of('--ink'),
    soft: of('--soft'),
    rule: of('--rule'),
    ghost: of('--ghost'),
    blue: of('--blue'),
    envelope: of('--envelope'),
    paper: of('--paper'),
    font: style.fontFamily,
    letters: Number.parseFloat(style.fontSize),
    thick: Number.parseFloat(of('--curve')),
    side: Number.parseFloat(style.getPropertyValue('padding-left')),
  };
}

/** The curve under the film, its ends where the film's are. */
export function Curve({ model, children }: { model: BenchModel; children?: ComponentChildren }) {
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
      const layers = model.layers.value;
      drawCurve(context, edges, look, model.pattern.value, model.ghost.value, layers);
    };
    const measure = () => {
      look = lookOf(frame);
      const { clientWidth: width, clientHeight: height } = frame;
      const dots = Math.min(2, devicePixelRatio || 1);
      size = { width, height };
      place.width = Math.round(width * dots);
      place.height = Math.round(height * dots);
      context.setTransform(dots, 0, 0, dots, 0, 0);
      draw();
    };
    const resized = new ResizeObserver(measure);
    resized.observe(frame);
    // A darkened room changes the ink.
    const room = frame.closest('.bench');
    const restyled = new MutationObserver(measure);
    if (room)
      restyled.observe(room, {
        attributes: true,
        attributeFilter: ['data-room', 'data-view'],
      });
    const stops = [model.pattern.subscribe(draw), model.layers.subscribe(draw)];
    // Ink of a page whose colours somebody else sets, and on paper.
    const colours = matchMedia('(forced-colors: active)');
    colours.addEventListener('change', measure);
    const paper = matchMedia('print');
    paper.addEventListener('change', measure);
    // Browsers that print a copy of the page copy what is drawn on it as it is.
    const toPaper = () => {
      const { dataset } = room as HTMLElement;
      const { room: was } = dataset;
      dataset.room = 'light';
      measure();
      dataset.room = was;
    };
    if (room) addEventListener('beforeprint', toPaper);
    addEventListener('afterprint', measure);
    return () => {
      resized.disconnect();
      restyled.disconnect();
      for (const stop of stops) stop();
      colours.removeEventListener('change', measure);
      paper.removeEventListener('change', measure);
      removeEventListener('beforeprint', toPaper);
      removeEventListener('afterprint', measure);
    };
  }, [model]);
  return (
    <div class="curve" ref={box}>
      <canvas ref={canvas} />
      {children}
    </div>
  );
}

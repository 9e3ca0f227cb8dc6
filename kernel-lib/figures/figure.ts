import { base64 } from '../display/base64';
import { asBundle, type MimeBundle, type Showable } from '../display/bundle';
import { once } from '../numerics/once';
import type { Chart } from './chart';
import { type PlotlyFigure, toPlotly } from './plotly/to-plotly';
import { element } from './svg/element';
import { toSvg } from './svg/to-svg';

/** A picture as data, in every form that a front end may want. As the last value of a cell it shows itself. */
export interface Figure extends Showable {
  /** What sort of figure: `pattern`, `strip`, `phasors` … */
  readonly kind: string;
  /** The text alternative: one sentence with the figure's numbers. */
  readonly alt: string;
  /** For front ends with plotly. */
  readonly plotly: PlotlyFigure;
  /** A static picture, complete in itself. */
  readonly svg: string;
  /** An exact-size PNG, of film strips only. */
  readonly png?: Uint8Array;
}

/** Draws a chart in all its forms, each when first asked for. `png` takes the place of the SVG picture in exports. */
export function figureOf(chart: Chart, png?: () => Uint8Array): Figure {
  const plotly = once(() => toPlotly(chart));
  const svg = once(() => toSvg(chart));
  const pixels = png && once(png);
  const figure: Figure = {
    kind: chart.kind,
    alt: chart.alt,
    get plotly() {
      return plotly();
    },
    get svg() {
      return svg();
    },
    get png() {
      return pixels?.();
    },
    [asBundle]: () => bundleOf(figure, pixels !== undefined),
  };
  return figure;
}

/** Each form is drawn when it is read: where only text is wanted, no picture is made. */
function bundleOf(figure: Figure, hasPng: boolean): MimeBundle {
  const still = hasPng
    ? {
        get 'image/png'() {
          return base64(figure.png as Uint8Array);
        },
      }
    : {
        get 'image/svg+xml'() {
          return figure.svg;
        },
      };
  return Object.defineProperties(
    {
      get 'application/vnd.plotly.v1+json'() {
        return figure.plotly;
      },
      get 'text/html'() {
        return pictureHtml(figure.svg, figure.alt);
      },
    },
    {
      ...Object.getOwnPropertyDescriptors(still),
      'text/plain': { value: figure.alt, enumerable: true },
    },
  );
}

/**
 * HTML of a static picture. Front ends keep an `<img>` also where they trust nothing; they take SVG out that is
 * written into the page itself. As an image it can neither run scripts nor fetch anything.
 */
export function pictureHtml(svg: string, alt: string): string {
  const src = `data:image/svg+xml;base64,${base64(new TextEncoder().encode(svg))}`;
  return element('img', { alt, src, style: 'max-width:100%;height:auto' });
}

/** The look of all figures: paper white, ink, one ink blue; strips black as film is. */
export const look = {
  paper: '#fdfcf8',
  film: '#0b0b0c',
  ink: '#1d2430',
  soft: '#565e6a',
  rule: '#d8d3c5',
  blue: '#1f4b99',
  brown: '#8a4b08',
  onFilm: '#d8d3c5',
  /** The line beside film that got more light than it can show. */
  burnt: '#d9822b',
  font: "system-ui, 'Segoe UI', 'DejaVu Sans', sans-serif",
} as const;

export type Dash = 'solid' | 'dash' | 'dot' | 'dashdot' | 'longdash';
export type Shape = 'circle' | 'square' | 'triangle' | 'diamond' | 'cross';

/** How one line or set of points is drawn. */
export interface Style {
  readonly colour: string;
  readonly dash: Dash;
  readonly shape: Shape;
  readonly width: number;
}

// Dash and shape tell curves apart on a grey print; the colour comes second.
const dashes: readonly Dash[] = ['solid', 'dash', 'dot', 'dashdot', 'longdash'];
const shapes: readonly Shape[] = ['circle', 'square', 'triangle', 'diamond', 'cross'];
const colours: readonly string[] = [look.blue, look.brown, '#1e6b3c', look.ink, '#7b2d6b'];

/** The style of the n-th curve of a figure, from 0; after the fifth the list starts again. */
export function styleOf(n: number): Style {
  const k = n % dashes.length;
  return { colour: colours[k], dash: dashes[k], shape: shapes[k], width: 1.8 };
}

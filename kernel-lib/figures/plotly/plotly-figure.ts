/** A trace or a layout as plotly takes it: plain JSON. */
export type PlotlyObject = { readonly [key: string]: unknown };

/** What a plotly front end draws. */
export interface PlotlyFigure {
  readonly data: readonly PlotlyObject[];
  readonly layout: PlotlyObject;
}

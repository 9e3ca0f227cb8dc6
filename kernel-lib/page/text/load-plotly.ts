interface Plotly {
  newPlot(box: HTMLElement, data: unknown, layout: object, config: object): Promise<unknown>;
  purge(box: HTMLElement): void;
}

const config = {
  displayModeBar: false,
  displaylogo: false,
  responsive: true,
  showLink: false,
  doubleClick: 'reset',
};

let loading: Promise<{ draw: typeof draw; clear: typeof clear }> | undefined;
let plotly: Plotly | undefined;

async function draw(box: HTMLElement, plot: object): Promise<void> {
  const { data, layout } = structuredClone(plot) as { data?: unknown; layout?: object };
  await plotly?.newPlot(
    box,
    Array.isArray(data) ? data : [],
    { ...layout, width: undefined, autosize: true },
    config,
  );
}

function clear(box: HTMLElement): void {
  plotly?.purge(box);
}

/** The plotting code, fetched when the first figure needs it: it is larger than all the rest of the page. */
export function loadPlotly() {
  loading ??= new Promise((done, fail) => {
    const script = document.createElement('script');
    script.src = '/page/plotly.min.js';
    script.onload = () => {
      plotly = (window as unknown as { Plotly: Plotly }).Plotly;
      done({ draw, clear });
    };
    script.onerror = () => {
      loading = undefined;
      fail(new Error('The plotting code did not arrive.'));
    };
    document.head.append(script);
  });
  return loading;
}

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

/**
 * The plotting code makes style elements as it loads, and one more with a known id. The page's policy
 * lets in only those that carry its nonce, so they are given it.
 */
function styleElementsMarked() {
  const nonce = document.body.dataset.nonce ?? '';
  const make = document.createElement;
  document.createElement = ((name: string, options?: ElementCreationOptions) => {
    const element = make.call(document, name, options);
    if (name === 'style') element.nonce = nonce;
    return element;
  }) as typeof make;
  const style = document.createElement('style');
  style.id = 'plotly.js-style-global';
  document.head.append(style);
  return {
    end: () => {
      document.createElement = make;
    },
  };
}

/** The plotting code, fetched when the first figure needs it: it is larger than all the rest of the page. */
export function loadPlotly() {
  loading ??= new Promise((done, fail) => {
    const ours = styleElementsMarked();
    const script = document.createElement('script');
    script.src = '/page/plotly.min.js';
    script.onload = () => {
      ours.end();
      plotly = (window as unknown as { Plotly: Plotly }).Plotly;
      done({ draw, clear });
    };
    script.onerror = () => {
      ours.end();
      loading = undefined;
      fail(new Error('The plotting code did not arrive.'));
    };
    document.head.append(script);
  });
  return loading;
}

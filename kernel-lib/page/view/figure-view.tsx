import type { ComponentChildren } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';

export const plotType = 'application/vnd.plotly.v1+json';

interface PlotProps {
  plot: object;
  picture: string | undefined;
  alt: string;
}

/** A figure: its still picture at once, the movable one when the plotting code is there and it comes into view. */
export function Plot({ plot, picture, alt }: PlotProps) {
  const frame = useRef<HTMLElement>(null);
  const place = useRef<HTMLDivElement>(null);
  const [drawn, setDrawn] = useState(false);
  const [large, setLarge] = useState(false);

  const [near, setNear] = useState(false);

  useEffect(() => {
    if (!frame.current) return;
    const watch = new IntersectionObserver(
      (entries) => {
        if (!entries.some(({ isIntersecting }) => isIntersecting)) return;
        watch.disconnect();
        setNear(true);
      },
      { rootMargin: '200px' },
    );
    watch.observe(frame.current);
    return () => watch.disconnect();
  }, []);

  // Another plot in the place of one that is drawn: what is the same of it stays, so that nothing flickers.
  useEffect(() => {
    const { current: box } = place;
    if (!near || !box) return;
    let gone = false;
    loadPlotly()
      .then(({ draw }) => (gone ? undefined : draw(box, plot)))
      .then(() => gone || setDrawn(true))
      .catch(() => {
        // The still picture stays.
      });
    return () => {
      gone = true;
    };
  }, [near, plot]);

  useEffect(() => {
    const { current: box } = place;
    return () => {
      if (box) void loading?.then(({ clear }) => clear(box));
    };
  }, []);

  return (
    <figure class="plot" ref={frame} data-drawn={drawn}>
      <Reach least={leastWidth(plot)}>
        {/* Stays for paper, where the movable one would not fit. */}
        {picture && <img src={picture} alt={alt || 'A plot'} hidden={drawn} />}
        <div
          class="place"
          ref={place}
          role="img"
          aria-label={alt || 'A plot'}
          hidden={!drawn && !!picture}
        />
      </Reach>
      {alt && <figcaption>{alt}</figcaption>}
      {picture && (
        <button
          type="button"
          class="quiet"
          aria-label={`Show large: ${alt || 'a plot'}`}
          onClick={() => setLarge(true)}
        >
          Show large
        </button>
      )}
      {picture && large && (
        <Enlarged picture={picture} alt={alt || 'A plot'} onClose={() => setLarge(false)} />
      )}
    </figure>
  );
}

/** What a figure asks for in its layout, where it does: px. */
function leastWidth(plot: object): number | undefined {
  const { layout } = plot as { layout?: { meta?: { leastWidth?: unknown } } };
  const least = layout?.meta?.leastWidth;
  return typeof least === 'number' && least > 0 && least < 2000 ? least : undefined;
}

/** A frame that scrolls where it is narrower than what stands in it may be. */
function Reach({ least, children }: { least: number | undefined; children: ComponentChildren }) {
  if (least === undefined) return <>{children}</>;
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by keyboard, too
    <section class="reach-over" tabIndex={0} aria-label="Figure, scrolls to the side">
      <div style={{ minWidth: `${least}px` }}>{children}</div>
    </section>
  );
}

/** A picture in the sheet; a click, or Enter on it, shows it large. */
export function Picture({ picture, alt }: { picture: string; alt: string }) {
  const [large, setLarge] = useState(false);
  return (
    <figure class="picture">
      <button
        type="button"
        class="enlarge"
        aria-label={`Show large: ${alt}`}
        onClick={() => setLarge(true)}
      >
        <img src={picture} alt={alt} />
      </button>
      {large && <Enlarged picture={picture} alt={alt} onClose={() => setLarge(false)} />}
    </figure>
  );
}

interface EnlargedProps {
  picture: string;
  alt: string;
  onClose: () => void;
}

/** A picture as large as the window lets it be; Escape or the button put it back. */
function Enlarged({ picture, alt, onClose }: EnlargedProps) {
  const box = useRef<HTMLDialogElement>(null);
  useEffect(() => box.current?.showModal(), []);
  return (
    <dialog ref={box} class="enlarged" aria-label={alt} onClose={onClose}>
      <button type="button" onClick={() => box.current?.close()}>
        Back to the sheet
      </button>
      <img src={picture} alt={alt} />
    </dialog>
  );
}

interface Plotly {
  /** Draws, or changes what is drawn there. */
  react(box: HTMLElement, data: unknown, layout: object, config: object): Promise<unknown>;
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

const mapTrace = /^(?:choropleth.*|(?:scatter|density)(?:map|mapbox|geo))$/;
const mapPart = /^(?:map|mapbox|geo)\d*$/;

/** A figure may be from anybody: pictures must stand in it, and maps, which are fetched, are left out. Changes `part`. */
function fetchingNothing(part: unknown): unknown {
  if (typeof part !== 'object' || part === null || ArrayBuffer.isView(part)) return part;
  const own = part as Record<string, unknown>;
  for (const [name, value] of Object.entries(own)) {
    const text = typeof value === 'string' ? value : '';
    const asks = name === 'source' && text !== '' && !text.startsWith('data:image/');
    if (asks || mapPart.test(name) || (name === 'type' && mapTrace.test(text))) delete own[name];
    else fetchingNothing(value);
  }
  return own;
}

async function draw(box: HTMLElement, plot: object): Promise<void> {
  const { data, layout } = fetchingNothing(structuredClone(plot)) as {
    data?: unknown;
    layout?: { height?: unknown };
  };
  // When the window gets another width, the plot takes its height from the box.
  if (typeof layout?.height === 'number') box.style.height = `${layout.height}px`;
  await plotly?.react(
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
function loadPlotly() {
  const { plotting } = document.body.dataset;
  // A page in one file has none: pictures stay still.
  if (plotting === '') return Promise.reject(new Error('There is no plotting code here.'));
  loading ??= new Promise((done, fail) => {
    const ours = styleElementsMarked();
    const script = document.createElement('script');
    script.src = plotting ?? new URL('plotly.min.js', import.meta.url).href;
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

import type { ComponentChildren } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';

export const plotType = 'application/vnd.plotly.v1+json';

interface PlotProps {
  plot: object;
  /** Stands in the sheet and on paper. */
  picture: string | undefined;
  /** What is shown large. */
  exact: string | undefined;
  alt: string;
}

/** How a figure stands: still, on its way to be movable, movable, or still because the plotting code did not come. */
type Standing = 'still' | 'coming' | 'moves' | 'away';

/**
 * A figure: its still picture, and in its place, once somebody asks, the one that can be zoomed and read off. The
 * code for that is larger than all the rest of the page, so it is fetched then. Without a picture there is nothing
 * else to show, and the figure is drawn as soon as it comes into view.
 */
export function Plot({ plot, picture, exact = picture, alt }: PlotProps) {
  const frame = useRef<HTMLElement>(null);
  const still = useRef<HTMLImageElement>(null);
  const place = useRef<HTMLDivElement>(null);
  const [asked, setAsked] = useState(false);
  const [standing, setStanding] = useState<Standing>('still');
  const [large, setLarge] = useState(false);
  const name = alt || 'A plot';
  const drawn = standing === 'moves';
  const bare = picture === undefined;
  useEffect(() => (bare ? whenNear(frame.current, () => setAsked(true)) : undefined), [bare]);

  // Another plot in the place of one that is drawn: what is the same of it stays, so that nothing flickers.
  useEffect(() => {
    const { current: box } = place;
    if (!asked || !box) return;
    let gone = false;
    loadPlotly()
      .then(({ draw }) => (gone ? undefined : draw(box, plot, still.current)))
      .then(() => gone || setStanding('moves'))
      .catch(() => {
        if (gone) return;
        setAsked(false);
        setStanding('away');
      });
    return () => {
      gone = true;
    };
  }, [asked, plot]);

  useEffect(() => {
    const { current: box } = place;
    return () => {
      if (box) void loading?.then(({ clear }) => clear(box));
    };
  }, []);

  const move = () => {
    if (asked || !hasPlotting()) return;
    setAsked(true);
    setStanding('coming');
  };
  const rest = () => {
    setAsked(false);
    setStanding('still');
    const { current: box } = place;
    if (box) void loading?.then(({ clear }) => clear(box));
  };
  return (
    <figure class="plot" ref={frame} data-drawn={drawn}>
      <Reach>
        {/* Stays for paper, where the movable one would not fit. */}
        {picture && (
          <img
            ref={still}
            src={picture}
            alt={name}
            hidden={drawn}
            style={{ minWidth: `${Math.max(leastStill, leastWidth(plot))}px` }}
            onDblClick={move}
            onTouchStart={({ touches }) => touches.length === 2 && move()}
          />
        )}
        <div
          class="place"
          ref={place}
          role="img"
          aria-label={name}
          style={{ minWidth: `${leastWidth(plot)}px` }}
        />
      </Reach>
      {alt && <figcaption>{alt}</figcaption>}
      {picture && (
        <p class="acts">
          {hasPlotting() && (
            <button
              type="button"
              class="quiet"
              aria-label={drawn ? `Put back as it was: ${name}` : `Zoom or read off: ${name}`}
              onClick={drawn ? rest : move}
            >
              {drawn ? 'Put back as it was' : 'Zoom or read off'}
            </button>
          )}
          <button
            type="button"
            class="quiet"
            aria-label={`Show large: ${name}`}
            onClick={() => setLarge(true)}
          >
            Show large
          </button>
          <span role="status">{standingWords[standing]}</span>
        </p>
      )}
      {exact && large && <Enlarged picture={exact} alt={name} onClose={() => setLarge(false)} />}
    </figure>
  );
}

const standingWords: Record<Standing, string> = {
  still: '',
  coming: 'One moment …',
  moves: 'Drag over what is to be larger; a double click shows all again.',
  away: 'What draws it to be zoomed did not arrive: try again when you are online.',
};

/** Calls once when the element is about to be seen. */
function whenNear(element: Element | null, then: () => void): (() => void) | undefined {
  if (!element) return;
  const watch = new IntersectionObserver(
    (entries) => {
      if (!entries.some(({ isIntersecting }) => isIntersecting)) return;
      watch.disconnect();
      then();
    },
    { rootMargin: '200px' },
  );
  watch.observe(element);
  return () => watch.disconnect();
}

/** Narrower, and the numbers of a still picture, 12.5 of its 520 units high, are below 12 px, px. */
const leastStill = 504;

/** What a figure asks for in its layout, px; 0 where it does not. */
function leastWidth(plot: object): number {
  const { layout } = plot as { layout?: { meta?: { leastWidth?: unknown } } };
  const least = layout?.meta?.leastWidth;
  return typeof least === 'number' && least > 0 && least < 2000 ? least : 0;
}

/** A frame that scrolls, and can then be reached by keyboard, where it is narrower than what stands in it may be. */
function Reach({ children }: { children: ComponentChildren }) {
  const frame = useRef<HTMLElement>(null);
  const [scrolls, setScrolls] = useState(false);
  useEffect(() => {
    const { current: box } = frame;
    if (!box) return;
    const watch = new ResizeObserver(() => setScrolls(box.scrollWidth > box.clientWidth + 1));
    for (const one of [box, ...box.children]) watch.observe(one);
    return () => watch.disconnect();
  }, []);
  const reached = {
    role: 'group' as const,
    tabIndex: 0,
    'aria-label': 'Figure, scrolls to the side',
  };
  return (
    <section class="reach-over" ref={frame} data-scrolls={scrolls} {...(scrolls ? reached : {})}>
      {children}
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

/** A page in one file has no plotting code: its pictures stay still. */
const hasPlotting = () => document.body.dataset.plotting !== '';

let loading: Promise<{ draw: typeof draw; clear: typeof clear }> | undefined;
let plotly: Plotly | undefined;

const mapTrace = /^(?:choropleth.*|(?:scatter|density)(?:map|mapbox|geo))$/;
const mapPart = /^(?:map|mapbox|geo)\d*$/;

/** What a style may fetch by; a backslash or an entity may hide it. */
const fetchingWords = /url|src|image|fade|[\\&]/i;

/** A label, whose markup may have styles: without them where one may ask for something. */
const plainly = (label: string): string =>
  /style\s*=/i.test(label) && fetchingWords.test(label)
    ? label.replace(/style(?=\s*=)/gi, 'data-style')
    : label;

/**
 * A figure may be from anybody: pictures must stand in it, styles of its labels name none, and maps, which are fetched,
 * are left out. Changes `part`.
 */
function fetchingNothing(part: unknown): unknown {
  if (typeof part !== 'object' || part === null || ArrayBuffer.isView(part)) return part;
  const own = part as Record<string, unknown>;
  for (const [name, value] of Object.entries(own)) {
    const text = typeof value === 'string' ? value : '';
    const asks = name === 'source' && text !== '' && !text.startsWith('data:image/');
    if (asks || mapPart.test(name) || (name === 'type' && mapTrace.test(text))) delete own[name];
    else if (text !== '') own[name] = plainly(text);
    else fetchingNothing(value);
  }
  return own;
}

/** Draws, over the still picture and as large, so that nothing moves when that goes. */
async function draw(box: HTMLElement, plot: object, still: HTMLElement | null): Promise<void> {
  const { data, layout } = fetchingNothing(structuredClone(plot)) as {
    data?: unknown;
    layout?: { height?: unknown };
  };
  const size = still?.getBoundingClientRect();
  if (size?.height) {
    // Where it will no longer scroll, the line that says so, and its bar, leave their room to it.
    const frame = leastWidth(plot) ? size : still?.parentElement?.getBoundingClientRect();
    box.style.height = `${(frame ?? size).height}px`;
    box.style.maxWidth = `${size.width}px`;
  } else if (!still && typeof layout?.height === 'number') {
    // When the window gets another width, the plot takes its height from the box.
    box.style.height = `${layout.height}px`;
  }
  await plotly?.react(
    box,
    Array.isArray(data) ? data : [],
    { ...layout, width: undefined, ...(still ? { height: undefined } : {}), autosize: true },
    config,
  );
}

function clear(box: HTMLElement): void {
  plotly?.purge(box);
  box.style.height = '';
  box.style.maxWidth = '';
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

/** The plotting code, fetched once. */
function loadPlotly() {
  const { plotting } = document.body.dataset;
  if (!hasPlotting()) return Promise.reject(new Error('There is no plotting code here.'));
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

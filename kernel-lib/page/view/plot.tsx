import { useEffect, useRef, useState } from 'preact/hooks';
import { loadPlotly } from '../text/load-plotly';
import { Enlarged } from './enlarged';

export const plotType = 'application/vnd.plotly.v1+json';

interface Props {
  plot: object;
  picture: string | undefined;
  alt: string;
}

/** A figure: its still picture at once, the movable one when the plotting code is there and it comes into view. */
export function Plot({ plot, picture, alt }: Props) {
  const frame = useRef<HTMLElement>(null);
  const place = useRef<HTMLDivElement>(null);
  const [drawn, setDrawn] = useState(false);
  const [large, setLarge] = useState(false);

  useEffect(() => {
    const { current: box } = place;
    if (!frame.current || !box) return;
    let gone = false;
    const watch = new IntersectionObserver(
      (entries) => {
        if (!entries.some(({ isIntersecting }) => isIntersecting)) return;
        watch.disconnect();
        loadPlotly()
          .then(({ draw }) => (gone ? undefined : draw(box, plot)))
          .then(() => gone || setDrawn(true))
          .catch(() => {
            // The still picture stays.
          });
      },
      { rootMargin: '200px' },
    );
    watch.observe(frame.current);
    return () => {
      gone = true;
      watch.disconnect();
      void loadPlotly().then(({ clear }) => clear(box));
    };
  }, [plot]);

  return (
    <figure class="plot" ref={frame} data-drawn={drawn}>
      {/* Stays for paper, where the movable one would not fit. */}
      {picture && <img src={picture} alt={alt || 'A plot'} hidden={drawn} />}
      <div
        class="place"
        ref={place}
        role="img"
        aria-label={alt || 'A plot'}
        hidden={!drawn && !!picture}
      />
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

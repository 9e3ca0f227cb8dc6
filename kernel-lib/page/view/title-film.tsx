import { useEffect, useRef } from 'preact/hooks';

const counts = [1, 3, 8];
const points = 760;

/** A piece of film at the head of the front page: a filament lamp’s light through one, three and eight slits, computed here and now. */
export function TitleFilm() {
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    let gone = false;
    const wait = setTimeout(async () => {
      const { developed } = await import('../text/title-strips');
      const strips = gone ? [] : developed(counts, points);
      place.current?.querySelectorAll('canvas').forEach((canvas, row) => {
        const pixels = strips[row];
        if (pixels) canvas.getContext('2d')?.putImageData(new ImageData(pixels, points, 1), 0, 0);
      });
    }, 60);
    return () => {
      gone = true;
      clearTimeout(wait);
    };
  }, []);
  return (
    <div
      class="film"
      ref={place}
      role="img"
      aria-label="Film strips of a filament lamp’s light behind one, three and eight slits: a white centre, coloured bands to both sides, the bands narrower and purer the more slits there are"
    >
      {counts.map((count) => (
        <canvas key={count} width={points} height={1} />
      ))}
    </div>
  );
}

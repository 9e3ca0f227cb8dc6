import { useEffect, useRef } from 'preact/hooks';
import { sheetStrips } from '../text/sheet-strip-settings';

/** The film strips of a sheet's subject, computed here when the browser has nothing more urgent to do. */
export function SheetFilm({ name }: { name: string }) {
  const place = useRef<HTMLDivElement>(null);
  const shown = Object.hasOwn(sheetStrips, name) ? sheetStrips[name] : undefined;
  useEffect(() => {
    if (!shown) return;
    let gone = false;
    const wait = setTimeout(async () => {
      const { benchRow } = await import('../text/title-strips');
      for (const [at, setting] of shown.settings.entries()) {
        await new Promise((next) => setTimeout(next));
        const canvas = place.current?.querySelectorAll('canvas')[at];
        if (gone || !canvas) return;
        const row = benchRow(setting);
        canvas.width = row.length / 4;
        canvas.getContext('2d')?.putImageData(new ImageData(row, canvas.width, 1), 0, 0);
        canvas.dataset.developed = 'true';
      }
    }, 80);
    return () => {
      gone = true;
      clearTimeout(wait);
    };
  }, [shown]);
  if (!shown) return null;
  return (
    <div class="film small" ref={place} role="img" aria-label={`Film strips. ${shown.words}`}>
      {shown.settings.map((_, at) => (
        <canvas key={at} width={1} height={1} />
      ))}
    </div>
  );
}

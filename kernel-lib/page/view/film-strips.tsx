import { useEffect, useRef } from 'preact/hooks';
import type { BenchSetting } from '../../figures/bench/setting';

/** The film strips of a sheet's subject, computed here when the browser has nothing more urgent to do. */
export function SheetFilm({ name }: { name: string }) {
  const place = useRef<HTMLDivElement>(null);
  const shown = Object.hasOwn(sheetStrips, name) ? sheetStrips[name] : undefined;
  useEffect(() => {
    if (!shown) return;
    let gone = false;
    const wait = setTimeout(async () => {
      const { benchRow } = await import('./develop');
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

const counts = [1, 3, 8];
const points = 760;

/** A piece of film at the head of the front page: a filament lamp’s light through one, three and eight slits, computed here and now. */
export function TitleFilm() {
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    let gone = false;
    const wait = setTimeout(async () => {
      const { developed } = await import('./develop');
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

/** What is shown of a sheet's subject before it is opened: settings of the bench, and one sentence. */
interface SheetStrips {
  readonly words: string;
  readonly settings: readonly Partial<BenchSetting>[];
}

const lamp: Partial<BenchSetting> = { light: 'filament' };
const green: Partial<BenchSetting> = {
  ...lamp,
  filter: true,
  bandCentre: 546e-9,
  bandWidth: 10e-9,
  exposure: 3,
};
const red: Partial<BenchSetting> = { light: 'laser', wavelength: 632.8e-9 };
const grating: Partial<BenchSetting> = {
  slits: 50,
  width: 1e-6,
  spacing: 4e-6,
  span: 110e-3,
  exposure: 10,
};

/** By the sheet's folder; a sheet that is not named here is listed without film. */
const sheetStrips: Readonly<Record<string, SheetStrips>> = {
  '01-a-parallel-beam': {
    words:
      'Two slits in green light: sharp fringes with a narrow source slit, none with a wide one.',
    settings: [
      { ...green, slits: 2, width: 40e-6, spacing: 160e-6, span: 12e-3, sourceWidth: 100e-6 },
      { ...green, slits: 2, width: 40e-6, spacing: 160e-6, span: 12e-3, sourceWidth: 1000e-6 },
    ],
  },
  '02-one-slit': {
    words: 'One slit in green light, and in lamplight.',
    settings: [
      { ...green, slits: 1 },
      { slits: 1, exposure: 3 },
    ],
  },
  '03-two-slits': {
    words: 'One slit and two slits in green light: fringes inside the pattern of one.',
    settings: [
      { ...green, slits: 1 },
      { ...green, slits: 2, spacing: 160e-6 },
    ],
  },
  '04-three-and-four-slits': {
    words: 'Three and four slits in green light: one weak line between two bright ones, then two.',
    settings: [
      { ...green, slits: 3, span: 10e-3, exposure: 1.5 },
      { ...green, slits: 4, span: 10e-3, exposure: 1.5 },
    ],
  },
  '05-from-slits-to-a-grating': {
    words: 'Five and sixteen slits in lamplight: the orders become spectra.',
    settings: [
      { slits: 5, exposure: 2 },
      { slits: 16, exposure: 5 },
    ],
  },
  '06-reading-the-spectrometer': {
    words: 'The lines of mercury and of helium behind a grating, in two orders on both sides.',
    settings: [
      { ...grating, light: 'mercury' },
      { ...grating, light: 'helium' },
    ],
  },
  '07-your-own-pattern': {
    words:
      'Four slits in the red light of a laser, as exposed for the bright lines and for the weak.',
    settings: [
      { ...red, slits: 4, spacing: 120e-6 },
      { ...red, slits: 4, spacing: 120e-6, exposure: 8 },
    ],
  },
};

import { strToU8, type Zippable, zipSync } from 'fflate';
import type { RefObject } from 'preact';
import { useRef, useState } from 'preact/hooks';
import { type BenchPattern, benchPattern, readPlace } from '../../figures/bench/compute';
import { apertureWords, cameraWords, lightWords } from '../../figures/bench/describe';
import { growth, type Layers } from '../../figures/bench/layers';
import { withCautions } from '../../figures/shown';
import { saveAs } from '../view/save-as';
import type { BenchModel } from './bench-model';
import { lookOf } from './curve';
import { type CurveLook, drawCurve } from './draw-curve';
import { grow, type LegendKey, legendKeys } from './layers';
import { canRecord, recordFilm } from './record-film';
import { complete, escaped, SvgPen } from './svg-pen';

/** A slide, pixels; a film is made of frames two thirds as large. */
const WIDE = 1920;
const HIGH = 1080;
const FRAME = 2 / 3;
const SIDE = 96;
const FILM = { top: 100, high: 190 };

/** What a slide shows, as it was when it was asked for. */
interface Shown {
  readonly pattern: BenchPattern;
  readonly ghost: BenchPattern | undefined;
  readonly layers: Layers;
  readonly look: CurveLook;
  /** Places of hairlines, m. */
  readonly hairs: readonly number[];
}

/** What a slide is painted with: on a canvas, or as SVG. */
interface Brush {
  readonly context: CanvasRenderingContext2D;
  /** Put the strip's colours into a rectangle. */
  strip(pattern: BenchPattern, x: number, y: number, width: number, height: number): void;
  /** Draw with the origin elsewhere. */
  from(x: number, y: number, draw: () => void): void;
}

/** Film, curve and what is said of them; `low` px stay free below the curve. */
function paint(brush: Brush, shown: Shown, low: number): void {
  const { context } = brush;
  const { pattern, ghost, layers, look, hairs } = shown;
  const { setting } = pattern;
  const width = WIDE - 2 * SIDE;
  context.fillStyle = look.paper;
  context.fillRect(0, 0, WIDE, HIGH);
  const letters = (size: number, colour: string, weight = '') => {
    context.font = `${weight} ${size}px ${look.font}`.trim();
    context.fillStyle = colour;
    context.textAlign = 'left';
    context.textBaseline = 'alphabetic';
  };
  letters(38, look.ink, 'bold');
  const words = [apertureWords(setting), lightWords(setting), ...cameraWords(setting)].join(', ');
  context.fillText(wrapped(words, 38, 'bold', look.font)[0], SIDE, 66);

  context.fillStyle = '#0b0b0c';
  context.fillRect(0, FILM.top, WIDE, FILM.high);
  brush.strip(pattern, SIDE, FILM.top + 16, width, FILM.high - 32);
  if (layers.has('before') && ghost) {
    const foot = FILM.top + FILM.high - 54;
    context.fillRect(SIDE, foot - 5, width, 5);
    brush.strip(ghost, SIDE, foot, width, 38);
  }

  const top = FILM.top + FILM.high;
  const high = HIGH - top - low - 190;
  brush.from(0, top, () => {
    const frame = { width: WIDE, height: high, left: SIDE, right: SIDE };
    drawCurve(context, frame, { ...look, letters: 28, thick: 5 }, pattern, ghost, layers);
  });
  context.lineWidth = 3;
  for (const [i, place] of hairs.entries()) {
    const x = SIDE + (place / setting.span + 0.5) * width;
    context.setLineDash(i > 0 ? [12, 10] : []);
    for (const [colour, from, to] of [
      ['#ffffff', FILM.top, top],
      [look.ink, top, top + high - 41],
    ] as const) {
      context.strokeStyle = colour;
      context.beginPath();
      context.moveTo(x, from);
      context.lineTo(x, to);
      context.stroke();
    }
  }
  context.setLineDash([]);

  const lines: Record<LegendKey['line'], [colour: string, dash: number[]]> = {
    brightness: [look.ink, []],
    single: [look.blue, [12, 9]],
    ghost: [look.ghost, []],
    envelope: [look.envelope, [5, 7]],
    missing: [look.envelope, []],
    burnt: ['#d9822b', []],
  };
  let [x, y] = [SIDE, top + high + 22];
  for (const { line, words: name } of legendKeys(pattern, ghost, layers)) {
    const long = 54 + widthOf(name, 24, '', look.font);
    if (x + long > WIDE - SIDE) [x, y] = [SIDE, y + 32];
    const [colour, dash] = lines[line];
    context.strokeStyle = colour;
    context.lineWidth = line === 'ghost' ? 8 : 5;
    context.setLineDash(dash);
    context.beginPath();
    if (line === 'missing') context.arc(x + 24, y, 10, 0, 2 * Math.PI);
    else {
      context.moveTo(x, y);
      context.lineTo(x + 44, y);
    }
    context.stroke();
    context.setLineDash([]);
    letters(24, look.soft);
    context.fillText(name, x + 54, y + 8);
    x += long + 40;
  }

  letters(26, look.soft);
  const sentence = withCautions(pattern.strip.alt, [pattern.strip]);
  const told = wrapped([sentence, apartWords(pattern, hairs)].join(' ').trim(), 26, '', look.font);
  for (const [i, line] of told.entries())
    context.fillText(line, SIDE, HIGH - 24 - 34 * (told.length - 1 - i));
}

/** How far two hairlines stand apart, as a sentence. */
function apartWords(pattern: BenchPattern, [one, other]: readonly number[]): string {
  if (other === undefined) return '';
  const [a, b] = [one, other].map((place) => readPlace(pattern, place));
  const minutes = ((b.deviation - a.deviation) * 180 * 60) / Math.PI;
  return `Between the hairlines: ${((b.place - a.place) * 1e3).toFixed(3)} mm, ${minutes.toFixed(2)}′.`;
}

let ruler: CanvasRenderingContext2D | null | undefined;

function widthOf(text: string, size: number, weight: string, font: string): number {
  ruler ??= document.createElement('canvas').getContext('2d');
  if (!ruler) return 0.55 * size * text.length;
  ruler.font = `${weight} ${size}px ${font}`.trim();
  return ruler.measureText(text).width;
}

/** Lines no longer than a slide is wide. */
function wrapped(text: string, size: number, weight: string, font: string): string[] {
  const lines: string[] = [''];
  for (const word of text.split(' ')) {
    const longer = `${lines[lines.length - 1]} ${word}`.trim();
    if (widthOf(longer, size, weight, font) <= WIDE - 2 * SIDE) lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return lines;
}

/** A strip's colours, one row of pixels. */
function rowOf({ strip: { srgb } }: BenchPattern): HTMLCanvasElement {
  const row = sized(srgb.length / 3, 1);
  const context = row.getContext('2d')!;
  const pixels = context.createImageData(row.width, 1);
  for (let i = 0; i < row.width; i++)
    pixels.data.set([srgb[3 * i], srgb[3 * i + 1], srgb[3 * i + 2], 255], 4 * i);
  context.putImageData(pixels, 0, 0);
  return row;
}

function onCanvas(context: CanvasRenderingContext2D): Brush {
  return {
    context,
    strip(pattern, x, y, width, height) {
      context.drawImage(rowOf(pattern), x, y, width, height);
    },
    from(x, y, draw) {
      context.save();
      context.translate(x, y);
      draw();
      context.restore();
    },
  };
}

function asSvg(pen: SvgPen): Brush {
  return {
    // It has what drawing asks for, and no more.
    context: pen as unknown as CanvasRenderingContext2D,
    strip(pattern, x, y, width, height) {
      pen.parts.push(
        `<image x="${x}" y="${y}" width="${width}" height="${height}" preserveAspectRatio="none" href="${rowOf(pattern).toDataURL()}"/>`,
      );
    },
    from(x, y, draw) {
      pen.save();
      pen.translate(x, y);
      draw();
      pen.restore();
    },
  };
}

/** Drawings beside the readings that are in sight, each with the words that stand out beside it. */
function drawingsOf(bench: Element) {
  return [...bench.querySelectorAll<SVGElement>('.read figure svg')]
    .filter((svg) => svg.checkVisibility())
    .map((svg) => ({
      svg,
      words: svg.closest('figure')?.querySelector('strong')?.textContent?.trim() ?? '',
    }));
}

/** The whole slide as one SVG file. */
function slideSvg(shown: Shown, bench: Element): string {
  const drawings = drawingsOf(bench);
  const SIZE = 236;
  const low = drawings.length > 0 ? SIZE + 10 : 0;
  const pen = new SvgPen();
  paint(asSvg(pen), shown, low);
  const y = HIGH - 150 - SIZE;
  const apart = (WIDE - 2 * SIDE) / Math.max(1, drawings.length);
  pen.font = `bold 30px ${shown.look.font}`;
  pen.fillStyle = shown.look.ink;
  pen.textAlign = 'left';
  pen.textBaseline = 'middle';
  drawings.forEach(({ svg, words }, i) => {
    const x = SIDE + i * apart;
    pen.parts.push(complete(svg, x, y, SIZE));
    pen.fillText(words, x + SIZE + 18, y + SIZE / 2);
  });
  const title = escaped(shown.pattern.strip.alt);
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDE} ${HIGH}" width="${WIDE}" height="${HIGH}"><title>${title}</title>${pen.parts.join('')}</svg>`;
}

/** The same as a picture of points. */
async function slidePng(svg: string): Promise<Blob> {
  const address = URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' }));
  try {
    const image = new Image(WIDE, HIGH);
    image.src = address;
    await image.decode();
    const canvas = sized(WIDE, HIGH);
    canvas.getContext('2d')!.drawImage(image, 0, 0, WIDE, HIGH);
    return await pngOf(canvas);
  } finally {
    URL.revokeObjectURL(address);
  }
}

const sized = (width: number, height: number) =>
  Object.assign(document.createElement('canvas'), { width, height });

const pngOf = (canvas: HTMLCanvasElement) =>
  new Promise<Blob>((done, fail) =>
    canvas.toBlob((blob) =>
      blob ? done(blob) : fail(new Error('The browser made no picture of it.')),
    ),
  );

/** The frames of growing slits as one file of PNG pictures, for where no film can be made or wanted. */
async function series(show: () => Shown): Promise<Uint8Array> {
  const canvas = sized(WIDE, HIGH);
  const brush = onCanvas(canvas.getContext('2d')!);
  const first = show();
  const files: Zippable = {};
  const told: string[] = [];
  for (const [i, setting] of growth(first.pattern.setting).entries()) {
    const pattern = benchPattern(setting);
    paint(brush, { ...first, pattern, ghost: undefined, hairs: [] }, 0);
    const name = `${String(i + 1).padStart(2, '0')}-slits-${setting.slits}.png`;
    const png = new Uint8Array(await (await pngOf(canvas)).arrayBuffer());
    files[name] = [png, { level: 0 }];
    told.push(`${name}: ${pattern.strip.alt}`);
  }
  files['sentences.txt'] = strToU8(`${told.join('\n')}\n`);
  return zipSync(files);
}

/** What slides are made of, as the bench shows it now. */
function shownBy(model: BenchModel, bench: Element): Shown {
  const { isLatched, place, second } = model;
  const hairs = isLatched.value ? [place.value, second.value] : [];
  return {
    pattern: model.pattern.value,
    ghost: model.ghost.value,
    layers: model.layers.value,
    look: lookOf(bench.querySelector<HTMLElement>('.curve')!),
    hairs: hairs.filter((one) => one !== undefined),
  };
}

const nameOf = ({ slits }: { slits: number }) => `slits-${slits}`;

/** Save what the bench shows as a picture. */
export async function savePicture(model: BenchModel, bench: Element, kind: 'png' | 'svg') {
  const shown = shownBy(model, bench);
  const svg = slideSvg(shown, bench);
  const content = kind === 'svg' ? svg : new Uint8Array(await (await slidePng(svg)).arrayBuffer());
  saveAs({ name: `${nameOf(shown.pattern.setting)}.${kind}`, content });
}

/** Pictures and films of the bench for slides, with the film's sentence under them. */
export function Slides({ model, bench }: { model: BenchModel; bench: RefObject<HTMLElement> }) {
  const [said, setSaid] = useState('');
  const [busy, setBusy] = useState('');
  const end = useRef<() => void>();

  const make = async (what: string, work: (shown: () => Shown) => Promise<void>) => {
    if (!bench.current?.querySelector('.curve')) {
      setSaid('The film is covered: show it first.');
      return;
    }
    const { current: box } = bench;
    const { look } = shownBy(model, box);
    setBusy(what);
    setSaid('');
    try {
      await work(() => ({ ...shownBy(model, box), look }));
      setSaid('Saved among your downloads.');
    } catch (error) {
      setSaid(`Nothing was saved. ${(error as Error).message}`);
    } finally {
      setBusy('');
    }
  };
  const picture = (kind: 'png' | 'svg') =>
    make(kind, () => savePicture(model, bench.current!, kind));
  const film = (what: string, act: () => Promise<void>) =>
    make(what, async (shown) => {
      const canvas = sized(WIDE * FRAME, HIGH * FRAME);
      const context = canvas.getContext('2d')!;
      context.scale(FRAME, FRAME);
      const brush = onCanvas(context);
      const webm = await recordFilm(canvas, () => paint(brush, shown(), 0), model.pattern, act);
      const content = new Uint8Array(await webm.arrayBuffer());
      saveAs({ name: `${nameOf(model.setting.value)}.webm`, content });
    });
  const whole = () =>
    make('series', async (shown) => {
      saveAs({ name: `${nameOf(model.setting.value)}-series.zip`, content: await series(shown) });
    });
  const byHand = () => {
    if (busy === 'by hand') {
      end.current?.();
      return;
    }
    const ended = new Promise<void>((done) => {
      end.current = done;
    });
    void film('by hand', () => ended);
  };
  return (
    <section class="slides" aria-labelledby="slides-title">
      <div class="head">
        <h2 id="slides-title">Pictures for slides</h2>
        <button type="button" disabled={busy !== ''} onClick={() => picture('png')}>
          PNG
        </button>
        <button type="button" disabled={busy !== ''} onClick={() => picture('svg')}>
          SVG
        </button>
        {canRecord() && (
          <>
            <button
              type="button"
              disabled={busy !== ''}
              onClick={() => film('grow', () => grow(model))}
            >
              {busy === 'grow' ? 'Filming…' : 'Film of the slits growing'}
            </button>
            <button
              type="button"
              disabled={busy !== '' && busy !== 'by hand'}
              aria-pressed={busy === 'by hand'}
              onClick={byHand}
            >
              {busy === 'by hand' ? 'Stop and save' : 'Film what I move'}
            </button>
          </>
        )}
        <button type="button" disabled={busy !== ''} onClick={whole}>
          Series of PNG
        </button>
        <span role="status">{said}</span>
      </div>
      <p class="note">
        {WIDE} × {HIGH} points: film and curve with what is switched on, the drawings in sight, and
        the film’s sentence under them.
        {!canRecord() && ' This browser records no film: the series shows the slits grow.'}
      </p>
    </section>
  );
}

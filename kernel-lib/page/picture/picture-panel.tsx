import { useCallback, useEffect, useMemo, useState } from 'preact/hooks';
import type { FilesBeside } from '../net/host';
import { useStore } from '../store';
import { NumberField } from './number-field';
import { OrdersLine } from './orders-line';
import { markedIn, pictureLines, settingIn, withPictureLines } from './picture-lines';
import { PicturePlane, type Tool } from './picture-plane';
import { atAlong, type MarkedKind, marksOf, type ScaleSetting } from './picture-setting';
import { PictureWork, pixelsAlong } from './picture-work';
import { ProfileCurve } from './profile-curve';
import { keepPicture, keptPicture } from './take-in';

interface Props {
  /** What the cell has now. */
  source: () => string;
  /** Put this text into the cell; with `run`, run it then. */
  write: (text: string, run: boolean) => void;
  beside: FilesBeside;
  /** Under this the work stays while the page is open. */
  name: string;
  onClose: () => void;
}

/** A picture that is worked on, with its file. */
interface Opened {
  readonly work: PictureWork;
  readonly bytes: Uint8Array;
}

/** What is worked on stays when the panel is closed. */
const opened = new Map<string, Opened>();

/** Choose or take a photograph, read it, and write the lines of code that do the same. */
export function PicturePanel({ source, write, beside, name, onClose }: Props) {
  const [now, setNow] = useState(opened.get(name));
  const [fault, setFault] = useState('');
  const [busy, setBusy] = useState('');
  const open = useCallback(
    (next: Opened | undefined) => {
      if (next) opened.set(name, next);
      else opened.delete(name);
      setNow(next);
    },
    [name],
  );

  // What lines in the cell say is shown again, after a reload too.
  useEffect(() => {
    if (now) return;
    const text = source();
    const setting = settingIn(text);
    if (!setting) return;
    setBusy('One moment …');
    beside
      .read(setting.file)
      .then((bytes) => {
        const work = new PictureWork(setting.file, bytes, setting);
        restoreMarks(work, text);
        open({ work, bytes });
      })
      .catch((error) => setFault(`${setting.file}: ${(error as Error).message}`))
      .finally(() => setBusy(''));
  }, []);

  const take = async (file: File | undefined) => {
    if (!file) return;
    setFault('');
    setBusy('Reading the picture …');
    try {
      // What is said is drawn before the page is busy.
      await new Promise((done) => setTimeout(done, 30));
      const bytes = await keptPicture(file);
      const kept = await keepPicture(bytes, beside);
      open({ work: new PictureWork(kept, bytes), bytes });
    } catch (error) {
      setFault((error as Error).message);
    } finally {
      setBusy('');
    }
  };

  return (
    <section class="photograph" aria-label="Photograph">
      <div class="head">
        <h3>Photograph</h3>
        <button type="button" class="quiet" onClick={onClose}>
          Close
        </button>
      </div>
      {fault && (
        <p class="notice" role="alert">
          {fault}
        </p>
      )}
      <p class="busy" role="status">
        {busy}
      </p>
      {now ? (
        <Bench
          key={now.work.setting.value.file}
          {...now}
          write={(lines, run) => write(withPictureLines(source(), lines), run)}
          onOther={() => open(undefined)}
        />
      ) : (
        <Choose onFile={take} />
      )}
    </section>
  );
}

/** The marked places of lines in a cell, on the picture again. */
function restoreMarks(work: PictureWork, text: string): void {
  const { places, orders } = markedIn(text);
  const { band } = work.setting.value;
  const { scale } = work.outcome.value;
  if (places.length === 0 || !scale) return;
  const marked = places.map((place) => work.inside(atAlong(band, pixelsAlong(band, scale, place))));
  work.change({ marked });
  const counted = work.outcome.value.orders;
  if (orders.every((order, k) => order === counted[k])) return;
  work.change({ marked: marked.map((one, k) => ({ ...one, order: orders[k] })) });
}

/** The caution, and three ways to bring a picture. */
function Choose({ onFile }: { onFile: (file: File | undefined) => void }) {
  const [over, setOver] = useState(false);
  const pick = ({ currentTarget }: { currentTarget: HTMLInputElement }) => {
    onFile(currentTarget.files?.[0]);
    currentTarget.value = '';
  };
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: to drop a file here is one way of several; the others are buttons
    <div
      class="choose"
      data-over={over}
      onDragOver={(event) => {
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={() => setOver(false)}
      onDrop={(event) => {
        event.preventDefault();
        setOver(false);
        onFile(event.dataTransfer?.files[0]);
      }}
    >
      <p class="caution">
        <b>Take care.</b> Photograph the screen, never the light itself: no eye, lens or camera
        looks into a laser beam, its reflection or the sun. The rules of your laboratory and its
        responsible safety officer decide what may be done.
      </p>
      <p>
        Have the whole pattern in the picture, a ruler or squared paper beside it and on the same
        surface, and nothing burnt out that need not be.
      </p>
      <div class="row">
        <label class="button main">
          Choose a picture
          <input type="file" accept="image/*" onChange={pick} />
        </label>
        <label class="button">
          Take a photograph
          <input type="file" accept="image/*" capture="environment" onChange={pick} />
        </label>
        <span class="note">or drop one here</span>
      </div>
      <p class="note">
        The picture stays beside this sheet, made smaller and without place, date and device. It
        goes nowhere but into what you hand in.
      </p>
    </div>
  );
}

const tools: readonly [Tool, string][] = [
  ['band', 'Band'],
  ['scale', 'Scale'],
  ['mark', 'Dark or bright places'],
  ['mask', 'Leave out'],
];

interface BenchProps extends Opened {
  write: (lines: string, run: boolean) => void;
  onOther: () => void;
}

/** The picture with all its tools. */
function Bench({ work, bytes, write, onOther }: BenchProps) {
  const setting = useStore(work.setting);
  const outcome = useStore(work.outcome);
  const [tool, setTool] = useState<Tool>('band');
  const [said, setSaid] = useState('');
  const [fit, setFit] = useState(true);
  const [written, setWritten] = useState('');
  const url = useMemo(
    () => URL.createObjectURL(new Blob([bytes as BlobPart], { type: 'image/png' })),
    [bytes],
  );
  useEffect(() => () => URL.revokeObjectURL(url), [url]);
  const lines = outcome.scale ? pictureLines(setting, outcome, { fit }) : '';
  const wanting =
    outcome.fault || (outcome.scale ? '' : scaleWanting(setting.scale, outcome.scaleFault));
  const put = (run: boolean) => {
    work.settle();
    write(lines, run);
    setWritten(lines);
  };
  return (
    <div class="bench-of-picture">
      <p class="found" role="status">
        {work.wasFound
          ? 'Drag the ends, the middle and the width of the band until it lies on the pattern.'
          : 'No bright row of spots stands out by itself: drag the band onto the pattern.'}
      </p>
      <fieldset class="tools">
        <legend class="aloud">What a click on the picture does</legend>
        {tools.map(([value, label]) => (
          <label key={value} data-on={tool === value}>
            <input
              type="radio"
              name={`tool ${setting.file}`}
              checked={tool === value}
              onChange={() => setTool(value)}
            />
            {label}
          </label>
        ))}
      </fieldset>
      <div class="of-tool">
        {tool === 'band' && <BandFields work={work} />}
        {tool === 'scale' && <ScaleFields work={work} />}
        {tool === 'mark' && <MarkFields work={work} />}
        {tool === 'mask' && <MaskFields work={work} />}
      </div>
      <PicturePlane work={work} url={url} tool={tool} say={setSaid} />
      <ProfileCurve work={work} say={setSaid} />
      <OrdersLine work={work} />
      <div class="writing">
        <label class="check">
          <input type="checkbox" checked={fit} onChange={() => setFit(!fit)} />
          Fit the slits as well
        </label>
        {fit && !(setting.wavelength.value > 0 && setting.distance.value > 0) && (
          <BenchFields work={work} />
        )}
        {wanting && <p class="note">{wanting}</p>}
        <div class="row">
          <button
            type="button"
            class="main"
            aria-disabled={wanting !== ''}
            onClick={() => wanting || put(true)}
          >
            Write into the cell and run
          </button>
          <button
            type="button"
            aria-disabled={wanting !== ''}
            onClick={() => wanting || put(false)}
          >
            Write into the cell
          </button>
          <button type="button" class="quiet" onClick={onOther}>
            Another picture
          </button>
        </div>
        <p class="note" role="status">
          {written &&
            (written === lines
              ? 'The cell says what is set here.'
              : 'What is set here was changed since it was written.')}
        </p>
        {lines && (
          <details>
            <summary>The lines of code</summary>
            <pre>{lines}</pre>
          </details>
        )}
      </div>
      <div class="aloud" aria-live="polite">
        {said}
      </div>
    </div>
  );
}

function scaleWanting(scale: ScaleSetting, fault: string): string {
  if (fault) return fault;
  const left = scale.by === 'pixel' ? 0 : marksOf[scale.by] - scale.marks.length;
  if (scale.by === 'pixel') return 'Still needed: what one pixel shows (under Scale).';
  const marks = left > 0 ? `${left} of the ${marksOf[scale.by]} marks` : '';
  const length =
    scale.length > 0 && (scale.by !== 'paper' || scale.height > 0) ? '' : 'the length between them';
  return `Still needed for the scale: ${[marks, length].filter(Boolean).join(', and ')} (under Scale).`;
}

function BandFields({ work }: { work: PictureWork }) {
  const { band } = useStore(work.setting);
  const set = (end: 'from' | 'to', axis: 'x' | 'y') => (value: number) => {
    if (Number.isFinite(value))
      work.moveEnd(end, { ...work.setting.value.band[end], [axis]: value });
  };
  return (
    <div class="row fields">
      <NumberField label="First end x" value={band.from.x} onChange={set('from', 'x')} />
      <NumberField label="y" value={band.from.y} onChange={set('from', 'y')} />
      <NumberField label="second end x" value={band.to.x} onChange={set('to', 'x')} />
      <NumberField label="y" value={band.to.y} onChange={set('to', 'y')} />
      <NumberField
        label="width"
        unit="pixels"
        value={band.width}
        onChange={(width) => Number.isFinite(width) && work.setWidth(width)}
      />
      <button type="button" onClick={() => work.find()}>
        Find it again
      </button>
    </div>
  );
}

const ways: readonly [ScaleSetting['by'], string][] = [
  ['ruler', 'Two marks of a ruler'],
  ['paper', 'Four corners on squared paper'],
  ['pixel', 'What one pixel shows'],
];

function ScaleFields({ work }: { work: PictureWork }) {
  const { scale } = useStore(work.setting);
  const { scale: found, scaleFault } = useStore(work.outcome);
  const by = (way: ScaleSetting['by']) => {
    if (way === scale.by) return;
    const length = Number.NaN;
    work.change({
      scale:
        way === 'pixel'
          ? { by: way, length }
          : way === 'ruler'
            ? { by: way, length, marks: [] }
            : { by: way, length, marks: [], height: length },
    });
  };
  const set = (name: 'length' | 'height', unit: number) => (value: number) =>
    work.change({ scale: { ...work.setting.value.scale, [name]: value * unit } as ScaleSetting });
  const inMm = (metres: number) => Number((metres * 1e3).toPrecision(12));
  return (
    <div>
      <div class="row fields">
        <label class="choice">
          <span>Scale by</span>
          <select
            value={scale.by}
            onChange={({ currentTarget }) => by(currentTarget.value as ScaleSetting['by'])}
          >
            {ways.map(([value, label]) => (
              <option key={value} value={value}>
                {label}
              </option>
            ))}
          </select>
        </label>
        {scale.by === 'pixel' && (
          <NumberField
            label="one pixel shows"
            unit="µm"
            value={Number((scale.length * 1e6).toPrecision(12))}
            onChange={set('length', 1e-6)}
          />
        )}
        {scale.by === 'ruler' && (
          <NumberField
            label="between them"
            unit="mm"
            value={inMm(scale.length)}
            onChange={set('length', 1e-3)}
          />
        )}
        {scale.by === 'paper' && (
          <>
            <NumberField
              label="from 1 to 2"
              unit="mm"
              value={inMm(scale.length)}
              onChange={set('length', 1e-3)}
            />
            <NumberField
              label="from 2 to 3"
              unit="mm"
              value={inMm(scale.height)}
              onChange={set('height', 1e-3)}
            />
          </>
        )}
      </div>
      {scale.by !== 'pixel' && (
        <p class="note">
          {scale.by === 'ruler'
            ? 'Click two marks of the ruler, as far apart as the picture allows; zoom in first.'
            : 'Click the corners of a large rectangle of the paper, one after the other around it; zoom in first.'}{' '}
          {scale.marks.length} of {marksOf[scale.by]} set.
        </p>
      )}
      {scale.by !== 'pixel' && scale.marks.length > 0 && (
        <ul class="marks">
          {scale.marks.map((mark, k) => {
            const move = (axis: 'x' | 'y') => (value: number) => {
              const { scale } = work.setting.value;
              if (scale.by === 'pixel' || !Number.isFinite(value)) return;
              const marks = scale.marks.map((one, j) =>
                j === k ? work.inside({ ...one, [axis]: value }) : one,
              );
              work.change({ scale: { ...scale, marks } });
            };
            return (
              <li key={k}>
                <NumberField label={`Mark ${k + 1} x`} value={mark.x} onChange={move('x')} />
                <NumberField label="y" value={mark.y} onChange={move('y')} />
              </li>
            );
          })}
        </ul>
      )}
      {scaleFault && (
        <p class="fault" role="alert">
          {scaleFault}
        </p>
      )}
      {found && found.u > 0 && (
        <p class="told" role="status">
          Every length has the relative standard uncertainty {(100 * found.u).toPrecision(2)} %,
          from clicks that miss by a pixel and from what the lens distorts.
        </p>
      )}
    </div>
  );
}

const kindsOf: readonly [MarkedKind, string][] = [
  ['maxima', 'bright places of several slits'],
  ['minima', 'dark places of one slit'],
];

function BenchFields({ work }: { work: PictureWork }) {
  const { wavelength, distance } = useStore(work.setting);
  const inUnit = (value: number, unit: number) => Number((value / unit).toPrecision(12));
  const set =
    (name: 'wavelength' | 'distance', part: 'value' | 'u', unit: number) => (value: number) => {
      const before = work.setting.value[name];
      const next = part === 'u' && !(value > 0) ? 0 : value * unit;
      work.change({ [name]: { ...before, [part]: next } });
    };
  const shownU = (u: number, unit: number) => (u > 0 ? inUnit(u, unit) : Number.NaN);
  return (
    <div class="row fields">
      <NumberField
        label="Wavelength"
        unit="nm"
        value={inUnit(wavelength.value, 1e-9)}
        onChange={set('wavelength', 'value', 1e-9)}
      />
      <NumberField
        label="± u"
        unit="nm"
        value={shownU(wavelength.u, 1e-9)}
        onChange={set('wavelength', 'u', 1e-9)}
      />
      <NumberField
        label="slits to screen"
        unit="m"
        value={inUnit(distance.value, 1)}
        onChange={set('distance', 'value', 1)}
      />
      <NumberField
        label="± u"
        unit="m"
        value={shownU(distance.u, 1)}
        onChange={set('distance', 'u', 1)}
      />
    </div>
  );
}

function MarkFields({ work }: { work: PictureWork }) {
  const { kind, marked } = useStore(work.setting);
  const { orders, places, scale } = useStore(work.outcome);
  return (
    <div>
      <div class="row fields">
        <label class="choice">
          <span>Mark the</span>
          <select
            value={kind}
            onChange={({ currentTarget }) =>
              work.change({ kind: currentTarget.value as MarkedKind })
            }
          >
            {kindsOf.map(([value, label]) => (
              <option key={value} value={value}>
                {label}
              </option>
            ))}
          </select>
        </label>
      </div>
      <BenchFields work={work} />
      <p class="note">
        Click them on the picture or on the curve below, where arrow keys move each. Orders are
        counted for you; change one where it is counted wrong.
      </p>
      <button
        type="button"
        onClick={() => {
          const { band } = work.setting.value;
          work.mark({ x: (band.from.x + band.to.x) / 2, y: (band.from.y + band.to.y) / 2 });
        }}
      >
        Add a place in the middle
      </button>
      {marked.length > 0 && (
        <ul class="marks">
          {marked.map((_, k) => (
            <li key={k}>
              <NumberField
                label={`${k + 1}. at ${(scale ? places[k] * 1e3 : places[k]).toFixed(scale ? 2 : 1)} ${scale ? 'mm' : 'pixels'}: order`}
                whole
                value={orders[k]}
                onChange={(order) =>
                  work.changeMark(k, { order: Number.isFinite(order) ? order : undefined })
                }
              />
              <button
                type="button"
                class="quiet"
                aria-label={`Take mark ${k + 1} away`}
                onClick={() => work.removeMark(k)}
              >
                Take away
              </button>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}

function MaskFields({ work }: { work: PictureWork }) {
  const { masks } = useStore(work.setting);
  return (
    <div>
      <p class="note">
        Draw a rectangle over dust, a reflection or a finger in the band: it is left out. What is
        burnt out is left out by itself.
      </p>
      {masks.length > 0 && (
        <ul class="marks">
          {masks.map(({ from, to }, k) => (
            <li key={k}>
              {`${k + 1}. from ${from.x}, ${from.y} to ${to.x}, ${to.y} `}
              <button
                type="button"
                class="quiet"
                aria-label={`Take rectangle ${k + 1} away`}
                onClick={() => work.removeMask(k)}
              >
                Take away
              </button>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}

import { useCallback, useEffect, useMemo, useState } from 'preact/hooks';
import type { FilesBeside } from '../net/host';
import { useStore } from '../store';
import { OrdersLine } from './orders-line';
import { BandFields, BenchFields, MarkFields, MaskFields, ScaleFields } from './picture-fields';
import { markedIn, pictureLines, settingIn, withPictureLines } from './picture-lines';
import { PicturePlane, type Tool } from './picture-plane';
import { atAlong, marksOf, type ScaleSetting } from './picture-setting';
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
  ['mark', 'Mark places'],
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
          ? 'The band was found by itself. Where it lies beside the pattern, drag its ends (round), all of it (square) and its width (diamond).'
          : 'No bright row of spots stands out by itself: drag the band onto the pattern by its ends (round), all of it (square) and its width (diamond).'}
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
        {fit && tool !== 'mark' && <BenchFields work={work} />}
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

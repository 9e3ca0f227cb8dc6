import { useStore } from '../store';
import { NumberField } from './number-field';
import { type MarkedKind, marksOf, type ScaleSetting } from './picture-setting';
import type { PictureWork } from './picture-work';

export function BandFields({ work }: { work: PictureWork }) {
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

export function ScaleFields({ work }: { work: PictureWork }) {
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

export function BenchFields({ work }: { work: PictureWork }) {
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
      <span class="pair">
        <NumberField
          label="Wavelength"
          unit="nm"
          value={inUnit(wavelength.value, 1e-9)}
          onChange={set('wavelength', 'value', 1e-9)}
        />
        <NumberField
          label="± u"
          of="of the wavelength"
          unit="nm"
          value={shownU(wavelength.u, 1e-9)}
          onChange={set('wavelength', 'u', 1e-9)}
        />
      </span>
      <span class="pair">
        <NumberField
          label="slits to screen"
          unit="m"
          value={inUnit(distance.value, 1)}
          onChange={set('distance', 'value', 1)}
        />
        <NumberField
          label="± u"
          of="of the distance"
          unit="m"
          value={shownU(distance.u, 1)}
          onChange={set('distance', 'u', 1)}
        />
      </span>
    </div>
  );
}

export function MarkFields({ work }: { work: PictureWork }) {
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
                aria-label={`Take away mark ${k + 1}`}
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

export function MaskFields({ work }: { work: PictureWork }) {
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
                aria-label={`Take away rectangle ${k + 1}`}
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

import { lightWords } from '../../figures/bench/describe';
import { type BenchSetting, parameters, writeValue } from '../../figures/bench/setting';
import { useStore } from '../store';
import type { BenchModel } from './bench-model';

const HEIGHT = 132;
const AXIS = 56;
const LENS = 34;
const SOURCE = 42;
const SLIT = 118;
const APERTURE = 520;

/** The bench from the side, with the parameters as they are: lengths not to scale. */
export function Schematic({ model }: { model: BenchModel }) {
  const setting = useStore(model.setting);
  const lens = lensPlaces(setting);
  const tilt = Math.max(-14, Math.min(14, (setting.incidence * 180) / Math.PI / 3));
  const words = describe(setting);
  const parts = partsOf(setting);
  return (
    <svg class="schematic" viewBox={`0 -10 940 ${HEIGHT + 10}`} role="img" aria-label={words}>
      <path class="axis" d={`M${SOURCE} ${AXIS}H900`} />
      <Source light={setting.light} />
      {setting.light === 'filament' && <Condenser />}
      <SlitInScreen x={SLIT} gap={sourceGap(setting)} />
      <Beam lens={lens} {...parts} />
      {parts.collimator && <Lens x={lens.collimator} />}
      {parts.slits && (
        <g transform={`rotate(${tilt} ${APERTURE} ${AXIS})`}>
          <ApertureScreen setting={setting} />
        </g>
      )}
      {parts.camera && <Lens x={lens.camera} />}
      <path class="film-line" d={`M${lens.film} ${AXIS - 38}v76`} />
      <g class="words">
        <Label x={SOURCE} lines={[sourceWords(setting)]} anchor="start" at={12} />
        <Label
          x={SLIT + 6}
          lines={[
            'source slit',
            setting.sourceWidth > 0 ? value(setting, 'sourceWidth') : 'a line',
          ]}
        />
        {parts.collimator ? (
          <Label
            x={lens.collimator}
            lines={['collimator', `f ${value(setting, 'collimatorFocalLength')}`]}
          />
        ) : (
          <Label
            x={lens.collimator}
            lines={['no lens', `${value(setting, 'sourceDistance')} away`]}
          />
        )}
        {parts.slits && (
          <Label
            x={APERTURE}
            lines={[
              setting.slits === 1 ? '1 slit' : `${setting.slits} slits`,
              value(setting, 'width') +
                (setting.slits > 1 ? ` / ${value(setting, 'spacing')}` : ''),
            ]}
          />
        )}
        {parts.camera && (
          <Label
            x={lens.camera}
            lines={[
              'camera lens',
              `f ${value(setting, 'focalLength')}${parts.slits ? '' : `, ${value(setting, 'lensDiameter')} open`}`,
            ]}
          />
        )}
        <Label
          x={lens.film}
          lines={
            parts.camera
              ? ['film', value(setting, 'span')]
              : ['screen', `${value(setting, 'screenDistance')} off`]
          }
        />
      </g>
    </svg>
  );
}

/** What stands between source slit and film. */
interface Parts {
  readonly collimator: boolean;
  readonly slits: boolean;
  readonly camera: boolean;
}

const partsOf = ({ stand, beam }: BenchSetting): Parts => ({
  collimator: beam === 'collimator' || stand === 'open',
  slits: stand !== 'open',
  camera: stand !== 'screen',
});

/** The light's way, and, where slits turn some of it aside, a broken line for that. */
function Beam({
  lens,
  collimator,
  slits,
  camera,
}: Parts & { lens: ReturnType<typeof lensPlaces> }) {
  const way = [-26, 26].map((y) => {
    const parallel = collimator
      ? `M${SLIT} ${AXIS}L${lens.collimator} ${AXIS + y}H${APERTURE}`
      : `M${SLIT} ${AXIS}L${APERTURE} ${AXIS + y}`;
    const on = camera ? `H${lens.camera}L${lens.film} ${AXIS}` : `H${lens.film}`;
    return parallel + on;
  });
  const turned = [20, -8].map((y) =>
    camera
      ? `M${APERTURE} ${AXIS + y}L${lens.camera} ${AXIS + y - 26}L${lens.film} ${AXIS - 22}`
      : `M${APERTURE} ${AXIS + y}L${lens.film} ${AXIS + y - 26}`,
  );
  return (
    <>
      <path class="ray" d={way.join('')} />
      {slits && <path class="ray turned" d={turned.join('')} />}
    </>
  );
}

const value = (setting: BenchSetting, name: keyof typeof parameters) =>
  writeValue(parameters[name], setting[name]);

/** Longer focal lengths stand farther off, as far as there is room. */
function lensPlaces({ collimatorFocalLength, focalLength }: BenchSetting) {
  const share = (length: number) => Math.log(length / 0.05) / Math.log(2 / 0.05);
  const camera = 655;
  return {
    collimator: SLIT + 100 + 150 * share(collimatorFocalLength),
    camera,
    film: camera + 110 + 130 * share(focalLength),
  };
}

const sourceGap = ({ sourceWidth }: BenchSetting) => 1.5 + 10 * Math.sqrt(sourceWidth / 1e-3);

const sourceWords = (setting: BenchSetting) =>
  lightWords(setting).replace('filament lamp', 'filament lamp and condenser');

function describe(setting: BenchSetting): string {
  const slit = setting.sourceWidth > 0 ? `${value(setting, 'sourceWidth')} wide` : 'of no width';
  const tilt =
    setting.incidence === 0 ? '' : `, the beam at ${value(setting, 'incidence')} to its normal`;
  const parts = partsOf(setting);
  const along = [
    `a source slit ${slit}${parts.collimator ? '' : ` ${value(setting, 'sourceDistance')} away`}`,
    parts.collimator && `a collimator of ${value(setting, 'collimatorFocalLength')}`,
    parts.slits &&
      `an aperture of ${setting.slits} ${setting.slits === 1 ? 'slit' : 'slits'}${tilt}`,
    parts.camera && `a camera lens of ${value(setting, 'focalLength')}`,
    parts.camera ? 'and film' : `and a screen ${value(setting, 'screenDistance')} off`,
  ].filter(Boolean);
  return `The bench, lengths not to scale: ${sourceWords(setting)}, ${along.join(', ')}.`;
}

function Label({
  x,
  lines,
  anchor = 'middle',
  at = 108,
}: {
  x: number;
  lines: string[];
  anchor?: 'start' | 'middle';
  at?: number;
}) {
  return (
    <text x={x} y={at} text-anchor={anchor}>
      {lines.map((text, i) => (
        <tspan key={i} x={x} dy={i === 0 ? 0 : '1.2em'}>
          {text}
        </tspan>
      ))}
    </text>
  );
}

function Source({ light }: { light: BenchSetting['light'] }) {
  if (light === 'laser')
    return <rect class="part" x={SOURCE - 24} y={AXIS - 9} width="52" height="18" rx="2" />;
  if (light === 'sunlight') {
    const rays = Array.from({ length: 12 }, (_, i) => {
      const [c, s] = [Math.cos((i * Math.PI) / 6), Math.sin((i * Math.PI) / 6)];
      return `M${SOURCE + 16 * c} ${AXIS + 16 * s}L${SOURCE + 22 * c} ${AXIS + 22 * s}`;
    });
    return (
      <g class="part">
        <circle cx={SOURCE} cy={AXIS} r="12" />
        <path d={rays.join('')} />
      </g>
    );
  }
  return (
    <g class="part">
      <rect x={SOURCE - 9} y={AXIS - 26} width="18" height="52" rx="9" />
      <path d={`M${SOURCE} ${AXIS - 14}v28`} />
    </g>
  );
}

/** Gathers the filament's light onto the source slit. */
function Condenser() {
  const [x, half] = [SOURCE + 38, 20];
  return (
    <>
      <path
        class="ray"
        d={`M${SOURCE} ${AXIS}L${x} ${AXIS - half + 4}L${SLIT} ${AXIS}M${SOURCE} ${AXIS}L${x} ${AXIS + half - 4}L${SLIT} ${AXIS}`}
      />
      <path
        class="lens"
        d={`M${x} ${AXIS - half}Q${x + 13} ${AXIS} ${x} ${AXIS + half}Q${x - 13} ${AXIS} ${x} ${AXIS - half}Z`}
      />
    </>
  );
}

function SlitInScreen({ x, gap }: { x: number; gap: number }) {
  return (
    <path class="screen" d={`M${x} ${AXIS - 36}V${AXIS - gap}M${x} ${AXIS + gap}V${AXIS + 36}`} />
  );
}

function Lens({ x }: { x: number }) {
  const [top, bottom] = [AXIS - LENS, AXIS + LENS];
  return (
    <path
      class="lens"
      d={`M${x} ${top}Q${x + 13} ${AXIS} ${x} ${bottom}Q${x - 13} ${AXIS} ${x} ${top}Z`}
    />
  );
}

/** The aperture with as many openings as there are slits; a blocked one stays dark. */
function ApertureScreen({ setting }: { setting: BenchSetting }) {
  const { slits, width, spacing, blocked } = setting;
  const pitch = slits > 1 ? Math.min(14, 60 / slits) : 12;
  const open = Math.max(0.7, pitch * Math.min(1, slits > 1 ? width / spacing : 0.5));
  const first = AXIS - ((slits - 1) / 2) * pitch;
  const parts: string[] = [];
  let from = AXIS - 40;
  for (let i = 0; i < slits; i++) {
    if (i === blocked - 1) continue;
    const middle = first + i * pitch;
    // Slits that touch leave no bar between them.
    if (middle - open / 2 - from > 0.01) parts.push(`M${APERTURE} ${from}V${middle - open / 2}`);
    from = middle + open / 2;
  }
  parts.push(`M${APERTURE} ${from}V${AXIS + 40}`);
  const gone = first + (blocked - 1) * pitch;
  return (
    <>
      <path class="screen" d={parts.join('')} />
      {blocked > 0 && <path class="cross" d={`M${APERTURE - 5} ${gone - 5}l10 10m0 -10l-10 10`} />}
    </>
  );
}

import { useMemo } from 'preact/hooks';
import { colourOf, coloursAlong } from '../../figures/bench/layers';
import {
  colourName,
  D65_CHROMATICITY,
  dominantWavelength,
  spectralLocus,
} from '../../light/dominant-wavelength';
import type { Chromaticity } from '../../light/light';
import { isWhite } from '../../light/white-balance';
import { chromaticity, xyz } from '../../light/xyz';
import { useStore, useValue } from '../store';
import type { BenchModel } from './bench-model';
import { fixed, useReading } from './reading';

const UNIT = 250;
const diagramX = (x: number) => 14 + x * UNIT;
const diagramY = (y: number) => 216 - y * UNIT;
const at = ([x, y]: Chromaticity) => `${diagramX(x).toFixed(1)} ${diagramY(y).toFixed(1)}`;
const written = [450, 480, 500, 520, 550, 580, 600, 650];

/** Where the colour at the hairline lies among all colours there are, and the way that the film's colours take. */
export function ColourView({ model }: { model: BenchModel }) {
  const reading = useReading(model);
  const pattern = useStore(model.pattern);
  const isOn = useValue(model.layers, (layers) => layers.has('colour'));
  const locus = useMemo(() => (isOn ? locusParts() : []), [isOn]);
  const way = useMemo(() => (isOn ? coloursAlong(pattern) : []), [isOn, pattern]);
  if (!isOn) return null;
  const { xy } = reading;
  const { light, strip } = pattern;
  const white = isWhite(light) ? chromaticity(xyz(light)) : D65_CHROMATICITY;
  const here = Math.round(
    (reading.place / pattern.setting.span + 0.5) * (strip.positions.length - 1),
  );
  const film = `rgb(${strip.srgb.subarray(3 * here, 3 * here + 3).join(' ')})`;
  const labels = locus.filter(({ nm }) => written.includes(nm));
  const told = xy ? `x ${fixed(xy[0], 3)}, y ${fixed(xy[1], 3)}` : 'dark here';
  const pure = xy && dominantWords(xy, white);
  return (
    <figure class="colours">
      <svg
        viewBox="0 -8 240 236"
        role="img"
        aria-label={`Chromaticity diagram, CIE 1931. At the hairline: ${told}${xy ? `, ${colourName(xy, white)}` : ''}. ${pure ?? ''}`}
      >
        <path class="purples" d={`M${at(locus[0].from)}L${at(locus[locus.length - 1].to)}`} />
        {locus.map(({ nm, from, to }) => (
          <path
            key={nm}
            d={`M${at(from)}L${at(to)}`}
            class="locus"
            style={{ '--hue': colourOf(nm * 1e-9) }}
          />
        ))}
        {labels.map(({ nm, from }) => (
          <text
            key={nm}
            x={diagramX(from[0]) + (from[0] < 0.2 ? -4 : 6)}
            y={diagramY(from[1]) + (from[1] > 0.8 ? -4 : 4)}
            text-anchor={from[0] < 0.2 && from[1] < 0.3 ? 'end' : 'start'}
          >
            {nm}
          </text>
        ))}
        {way.length > 1 && <path class="way" d={`M${way.map(at).join('L')}`} />}
        <path class="white" d={`M${diagramX(white[0]) - 5} ${diagramY(white[1])}h10m-5 -5v10`} />
        {xy && (
          <>
            <circle class="rim" cx={diagramX(xy[0])} cy={diagramY(xy[1])} r="8" />
            <circle cx={diagramX(xy[0])} cy={diagramY(xy[1])} r="5" fill={film} />
          </>
        )}
      </svg>
      <figcaption>
        <strong>{told}</strong>
        <span class="how">{pure ?? 'Cross: white. Line: the film from its middle outwards.'}</span>
      </figcaption>
    </figure>
  );
}

/** The edge of all colours in steps of 5 nm. */
function locusParts(): { nm: number; from: Chromaticity; to: Chromaticity }[] {
  const points = spectralLocus().filter(({ wavelength }) => Math.round(wavelength * 1e9) % 5 === 0);
  return points.slice(1).map(({ at: to }, i) => ({
    nm: Math.round(points[i].wavelength * 1e9),
    from: points[i].at,
    to,
  }));
}

function dominantWords(xy: Chromaticity, white: Chromaticity): string | undefined {
  if (Math.hypot(xy[0] - white[0], xy[1] - white[1]) < 5e-3) return 'White: of no hue.';
  const { wavelength, kind } = dominantWavelength(xy, white);
  const nm = `${fixed(wavelength * 1e9, 0)} nm`;
  return kind === 'dominant'
    ? `Its hue is that of ${nm}.`
    : `A purple: with ${nm} it mixes to white.`;
}

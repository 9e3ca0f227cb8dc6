import { fitLine } from '../../fitting/fit-line';
import { formatNumber } from '../../quantity/format-number';
import { printMeasured } from '../../quantity/print-measured';
import { useStore } from '../store';
import type { PictureWork } from './picture-work';
import { ticksOf } from './viewport';

const size = { width: 320, height: 200 };
const edge = { left: 46, top: 8, right: 10, bottom: 38 };

/** The straight line through order against place, and the length that it gives. */
export function OrdersLine({ work }: { work: PictureWork }) {
  const { kind } = useStore(work.setting);
  const { places, orders, byHand, byHandFault } = useStore(work.outcome);
  if (!byHand)
    return byHandFault ? (
      <p class="by-hand" role="status">
        {byHandFault}
      </p>
    ) : null;
  const name = kind === 'minima' ? 'Slit width' : 'Spacing';
  const length = printMeasured(byHand.length, { unit: 'um' });
  const [width, height] = [
    size.width - edge.left - edge.right,
    size.height - edge.top - edge.bottom,
  ];
  const millimetres = places.map((place) => place * 1e3);
  const padded = (list: readonly number[]) => {
    const [low, high] = [Math.min(...list), Math.max(...list)];
    const more = 0.08 * (high - low || 1);
    return [low - more, high + more];
  };
  const [x0, x1] = padded(orders);
  const [y0, y1] = padded(millimetres);
  const toX = (order: number) => ((order - x0) / (x1 - x0)) * width;
  const toY = (place: number) => height * (1 - (place - y0) / (y1 - y0));
  // As the eye judges it: through the places themselves.
  const line = fitLine({ x: orders, y: millimetres });
  const [slope, intercept] = [line.slope.value, line.intercept.value];
  const rests = millimetres.map((place, k) => place - (intercept + slope * orders[k]));
  const worst = rests.reduce((most, rest) => Math.max(most, Math.abs(rest)), 0);
  const told = `${places.length} ${kind === 'minima' ? 'dark' : 'bright'} places, ${formatNumber(slope, 4)} mm from order to order; the farthest lies ${formatNumber(worst, 2)} mm off the line.`;
  return (
    <figure class="by-hand">
      <figcaption>
        <div role="status">
          <b>
            {name} by hand: <output>{length}</output>
          </b>{' '}
          {told}
        </div>
      </figcaption>
      <svg
        viewBox={`0 0 ${size.width} ${size.height}`}
        role="img"
        aria-label={`Place against order: ${told}`}
      >
        <g transform={`translate(${edge.left} ${edge.top})`}>
          <g class="axes">
            <rect class="edge" width={width} height={height} />
            {ticksOf(x0, x1, 6)
              .filter(Number.isInteger)
              .map((value) => (
                <g key={value} transform={`translate(${toX(value)} ${height})`}>
                  <line y2={5} />
                  <text y={18} text-anchor="middle">
                    {value}
                  </text>
                </g>
              ))}
            {ticksOf(y0, y1, 4).map((value) => (
              <g key={value} transform={`translate(0 ${toY(value)})`}>
                <line x2={-5} />
                <text x={-8} y={4} text-anchor="end">
                  {value}
                </text>
              </g>
            ))}
            <text class="name" x={width / 2} y={height + 34} text-anchor="middle">
              order
            </text>
            <text
              class="name"
              transform={`translate(-36 ${height / 2}) rotate(-90)`}
              text-anchor="middle"
            >
              place / mm
            </text>
          </g>
          <line
            class="line"
            x1={toX(x0)}
            y1={toY(intercept + slope * x0)}
            x2={toX(x1)}
            y2={toY(intercept + slope * x1)}
          />
          {orders.map((order, k) => (
            <circle key={k} class="point" cx={toX(order)} cy={toY(millimetres[k])} r={4} />
          ))}
        </g>
      </svg>
    </figure>
  );
}

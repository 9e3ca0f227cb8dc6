import { defineSheet, nm } from 'multislit';
import { circle } from './circle';
import {
  angleOf,
  fittedSpacing,
  foundLines,
  type Given,
  givens,
  greenWavelength,
  namedLamp,
  tells,
} from './given';

/** Wavelengths of the lamp without a label, computed in another way. */
function otherwise(
  given: Given,
  { spacing = fittedSpacing(given).value, of = Math.sin, orders = true } = {},
): number[] {
  return given.unknown.map(
    (setting) => (spacing * of(angleOf(setting))) / (orders ? setting.order : 1),
  );
}

/** Angles of the green line in the second order on both sides of a tilted grating, from its normal. */
export function tilted({ tilt, label }: Given): { left: number; right: number } {
  const step = (2 * greenWavelength) / label;
  return { left: Math.asin(Math.sin(tilt) + step), right: Math.asin(Math.sin(tilt) - step) };
}
function wronglyFound(given: Given): number {
  const { left, right } = tilted(given);
  return (given.label * Math.sin((left - right) / 2)) / 2;
}

export default defineSheet<Given>({
  name: '06-reading-the-spectrometer',
  title: 'Reading the spectrometer',
  givens,
  tells,
  questions: [
    ...circle,
    {
      id: '6.4',
      kind: 'number',
      asks: 'The spacing of the grating',
      marks: 4,
      unit: 'nm',
      expected: (given) => fittedSpacing(given).value,
      uncertainty: (given) => fittedSpacing(given).u,
      uncertaintyWithin: 1.2, // 24″ in the place of 24″/√2 is a factor of 1.41
      tolerance: { uncertainties: 2 },
      slips: [
        {
          name: 'label',
          value: ({ label }) => label,
          hint: 'This is what the label says. Your readings know better.',
        },
        {
          name: 'order left out',
          value: (given) => fittedSpacing(given, ({ wavelength }) => wavelength).value,
          hint: 'In the second order the lag is two wavelengths. Along x goes the order times the wavelength.',
        },
        {
          name: 'angle for sine',
          value: (given) => fittedSpacing(given, undefined, (angle) => angle).value,
          hint: 'The angles themselves were fitted. The straight line is that of their sines.',
        },
        {
          name: 'tangent',
          value: (given) => fittedSpacing(given, undefined, Math.tan).value,
          hint: 'The tangents were fitted. The straight line is that of the sines.',
        },
        {
          name: 'not halved',
          value: (given) => fittedSpacing(given, undefined, (angle) => Math.sin(2 * angle)).value,
          hint: 'The angles seem to reach from left to right. θ is half of that.',
        },
        {
          name: 'lines per millimetre',
          value: (given) => nm(1e-3 / fittedSpacing(given).value),
          hint: 'This looks like the number of lines per millimetre. The spacing is asked for, in nanometres.',
        },
      ],
    },
    {
      id: '6.5',
      kind: 'list',
      asks: 'Three wavelengths',
      marks: 3,
      unit: 'nm',
      expected: (given) => foundLines(given).map(({ value }) => value),
      uncertainty: (given) =>
        foundLines(given).map(({ byAngle, bySpacing }) => Math.hypot(byAngle, bySpacing)),
      uncertaintyWithin: 1.2,
      tolerance: { uncertainties: 2 },
      slips: [
        {
          name: 'spacing of the label',
          value: (given) => otherwise(given, { spacing: given.label }),
          hint: 'These come from the spacing on the label. You have found a better one in 6.4.',
        },
        {
          name: 'order left out',
          value: (given) => otherwise(given, { orders: false }),
          hint: 'No lamp shows the eye such wavelengths. In which order were the lines read?',
        },
        {
          name: 'tangent',
          value: (given) => otherwise(given, { of: Math.tan }),
          hint: 'The tangent was taken. The grating equation has the sine.',
        },
        {
          name: 'angle for sine',
          value: (given) => otherwise(given, { of: (angle) => angle }),
          hint: 'The angle was taken in the place of its sine.',
        },
        {
          name: 'not halved',
          value: (given) => otherwise(given, { of: (angle) => Math.sin(2 * angle) }),
          hint: 'The angle seems to reach from left to right. θ is half of that.',
        },
      ],
    },
    {
      id: '6.6',
      kind: 'word',
      asks: 'The lamp without a label',
      marks: 1,
      accepts: (given) => {
        const name = namedLamp(given);
        return [name, `${name} lamp`, { cadmium: 'Cd', helium: 'He', hydrogen: 'H' }[name]];
      },
      slips: [
        {
          name: 'mercury',
          words: ['mercury', 'Hg', 'mercury lamp'],
          hint: 'Compare line by line: the lamp of 6.4 has no line at the longest of your wavelengths.',
        },
        {
          name: 'sodium',
          words: ['sodium', 'Na', 'sodium lamp'],
          hint: 'Its two bright lines lie side by side, 0.6 nm apart. Your three lines lie far from one another.',
        },
        {
          name: 'another row',
          words: (given) =>
            (['cadmium', 'helium', 'hydrogen'] as const).filter(
              (name) => name !== namedLamp(given),
            ),
          hint: 'Lay all three of your wavelengths against that row: each must have a line there, within a few u.',
        },
        {
          name: 'not in the table',
          words: ['neon', 'Ne', 'argon', 'Ar', 'krypton', 'Kr', 'zinc', 'Zn', 'lithium', 'Li'],
          hint: 'This element is not in the table of the question. Compare your three lines with each row of it.',
        },
      ],
    },
    {
      id: '6.7',
      kind: 'sealed',
      asks: 'What limits the result',
      marks: 3,
      answer: 'number',
      unit: '%',
    },
    {
      id: '6.8',
      kind: 'number',
      asks: 'A tilted grating',
      marks: 3,
      unit: 'nm',
      expected: wronglyFound,
      tolerance: { absolute: nm(0.2) },
      digits: 5,
      slips: [
        {
          name: 'no effect',
          value: () => greenWavelength,
          hint: 'This is the true wavelength. Left and right do not shift by the same amount when the grating is tilted, so half of their difference changes.',
        },
        {
          name: 'cosine of the tilt',
          value: ({ tilt }) => greenWavelength / Math.cos(tilt),
          hint: 'This would hold near the straight direction only. In the second order the effect is larger: take both angles from the grating equation.',
        },
        {
          name: 'left side only',
          value: (given) => (given.label * Math.sin(tilted(given).left - given.tilt)) / 2,
          hint: 'This uses the left side alone. The method takes half of the angle from right to left.',
        },
        {
          name: 'right side only',
          value: (given) => (given.label * Math.sin(given.tilt - tilted(given).right)) / 2,
          hint: 'This uses the right side alone. The method takes half of the angle from right to left.',
        },
        {
          name: 'order left out',
          value: (given) => 2 * wronglyFound(given),
          hint: 'Twice too much: these are lines of the second order.',
        },
      ],
    },
    { id: '6.9', kind: 'written', asks: 'What averaging removes', marks: 4 },
  ],
});

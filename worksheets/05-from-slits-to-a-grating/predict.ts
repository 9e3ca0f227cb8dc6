import type { OpenQuestion } from 'multislit';
import { type Given, slitsForSodium } from './given';

/** From the centre to the first dark line of N slits; the angles are small, f tan θ = fλ/Nd to 1 part in 10 000. */
const firstDark = ({ focalLength, wavelength, spacing }: Given, count: number, d = spacing) =>
  focalLength * Math.tan(Math.asin(wavelength / (count * d)));
/** Wavelengths of these orders in the direction with this lag between neighbouring lines. */
const overlapping = (lag: number, orders: readonly number[]) => orders.map((m) => lag / m);
const lag = ({ angle, lines }: Given) => Math.sin(angle) / lines;
/** Width of the lit part of the grating. */
const litWidth = ({ lines, order }: Given) => slitsForSodium(order) / lines;

/** The narrow maximum, orders on top of each other, the sodium pair. */
export const predict: readonly OpenQuestion<Given>[] = [
  {
    id: '5.1',
    kind: 'number',
    asks: 'The first dark line of many slits',
    marks: 2,
    unit: 'mm',
    expected: (given) => firstDark(given, given.count),
    tolerance: { relative: 0.01 },
    slips: [
      {
        name: 'both sides',
        value: (given) => 2 * firstDark(given, given.count),
        hint: 'This is the whole width, from the dark line on one side to that on the other. Count from the middle.',
      },
      {
        name: 'two slits',
        value: (given) => firstDark(given, 2),
        hint: 'Here two slits cancel each other. With more slits it is dark earlier: when all of them together make a closed polygon.',
      },
      {
        name: 'next order',
        value: (given) => firstDark(given, 1),
        hint: 'Here neighbouring slits differ by a whole wavelength: this is the next bright order, not the first dark line.',
      },
      {
        name: 'one slit too few',
        value: (given) => firstDark(given, given.count - 1),
        hint: 'One slit seems to be missing. There are one fewer gaps than slits, but every slit adds its own arrow to the polygon.',
      },
      {
        name: 'one slit too many',
        value: (given) => firstDark(given, given.count + 1),
        hint: 'One slit too many was counted. Each slit adds one arrow to the polygon, and that many close it.',
      },
      {
        name: 'the angle',
        value: ({ wavelength, count, spacing }) => Math.asin(wavelength / (count * spacing)) / 1000,
        hint: 'This is the angle, in radians, or its sine. How far from the middle of the film that lies, the focal length of the camera lens decides.',
      },
      {
        name: 'width for spacing',
        value: (given) => firstDark(given, given.count, given.width),
        hint: 'This uses the width of a slit. What counts here is the distance from slit to slit.',
      },
      {
        name: 'metres',
        value: (given) => firstDark(given, given.count) / 1000,
        hint: 'This is the number of metres; millimetres are asked for.',
      },
    ],
  },
  {
    id: '5.2',
    kind: 'list',
    asks: 'Orders on top of each other',
    marks: 3,
    unit: 'nm',
    expected: (given) => overlapping(lag(given), [4, 5, 6]),
    tolerance: { relative: 0.005 },
    slips: [
      {
        name: 'one order too high',
        value: (given) => overlapping(lag(given), [5, 6, 7]),
        hint: 'The last of these is ultraviolet, below 400 nm, and one visible wavelength is missing. Try one order lower.',
      },
      {
        name: 'one order too low',
        value: (given) => overlapping(lag(given), [3, 4, 5]),
        hint: 'The first of these is infrared, above 700 nm, and one visible wavelength is missing. Try one order higher.',
      },
      {
        name: 'first three orders',
        value: (given) => overlapping(lag(given), [1, 2, 3]),
        hint: 'These are the orders 1, 2 and 3. The eye sees 400 to 700 nm: which orders give such wavelengths here?',
      },
      {
        name: 'tangent for sine',
        value: ({ angle, lines }) => overlapping(Math.tan(angle) / lines, [4, 5, 6]),
        hint: 'The lag between neighbouring lines is d sin θ. Was the tangent taken?',
      },
      {
        name: 'cosine for sine',
        value: ({ angle, lines }) => overlapping(Math.cos(angle) / lines, [4, 5, 6]),
        hint: 'The angle is counted from the axis, so the lag is d sin θ, not d cos θ.',
      },
      {
        name: 'micrometres',
        value: (given) => overlapping(lag(given) / 1000, [4, 5, 6]),
        hint: 'These look like micrometres; nanometres are asked for.',
      },
    ],
  },
  {
    id: '5.3',
    kind: 'number',
    asks: 'Wide enough for the sodium pair',
    marks: 2,
    unit: 'mm',
    expected: litWidth,
    tolerance: { relative: 0.01 },
    slips: [
      {
        name: 'order left out',
        value: (given) => given.order * litWidth(given),
        hint: 'This is the width needed in the first order. In a higher order fewer lines do the same.',
      },
      {
        name: 'times the order',
        value: (given) => given.order ** 2 * litWidth(given),
        hint: 'A higher order needs fewer lines, not more. Look at λ/Δλ = mN again.',
      },
      {
        name: 'number of lines',
        value: ({ order }) => slitsForSodium(order) / 1000,
        hint: 'This is how many lines are needed. How wide is the part of the grating that holds so many?',
      },
      {
        name: 'metres',
        value: (given) => litWidth(given) / 1000,
        hint: 'This is the number of metres; millimetres are asked for.',
      },
      {
        name: 'centimetres',
        value: (given) => litWidth(given) / 10,
        hint: 'This looks like centimetres; millimetres are asked for.',
      },
    ],
  },
];

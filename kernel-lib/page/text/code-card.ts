/** One line of the card: what is typed, what it is, and what a cell shows that ends with it. */
interface CardLine {
  readonly code: string;
  readonly is: string;
  /** Rounded; left out where a cell shows nothing. */
  readonly shows?: string;
}

/** The code that the sheets need, in ten lines that may be run in this order. */
export const codeCard: readonly CardLine[] = [
  {
    code: 'const angle = Math.asin(0.3);',
    is: 'a name for a value; the angle whose sine is 0.3, in radians',
  },
  { code: 'angle / degrees(1)', is: 'the same in degrees', shows: '17.46' },
  { code: 'um(94)', is: '94 micrometres, in metres; likewise nm, mm', shows: '0.000094' },
  { code: '2 * Math.PI * 1.5 ** 2', is: 'times is always written; ** is a power', shows: '14.14' },
  { code: 'const square = (x: number) => x ** 2;', is: 'a short function of x' },
  {
    code: 'square(3) + Math.sqrt(16)',
    is: 'functions take what stands in round brackets',
    shows: '13',
  },
  {
    code: 'function half(x: number) { return x / 2; }',
    is: 'a function of several lines gives its value by return',
  },
  {
    code: 'const list = [0.4, 0.5, 0.6];',
    is: 'a list; decimals with a point, values between commas',
  },
  {
    code: 'list[0] + list.length',
    is: 'its first value, counted from 0, and how many there are',
    shows: '3.4',
  },
  {
    code: 'list.map((x) => half(x))',
    is: 'a list of all values, each changed',
    shows: '[ 0.2, 0.25, 0.3 ]',
  },
];

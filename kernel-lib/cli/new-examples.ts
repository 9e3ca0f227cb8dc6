/** The kinds of question that a new sheet can begin with, each with a working example. */
export const kindsLaidOut = ['number', 'list', 'function', 'word', 'sealed', 'written'] as const;
export type KindLaidOut = (typeof kindsLaidOut)[number];

/** Stands in every line of a new sheet that its author is to change. */
export const wordToChange = 'YOURS';

/** What one example adds to the files of a sheet. */
interface Example {
  /** The part of the sheet in which it stands. */
  readonly part: string;
  /** Of sheet.md, below the part's heading. */
  readonly text: string;
  /** Of sheet.ts: the question. */
  readonly question: string;
  /** Of key.ts. */
  readonly model: string;
  readonly sealed?: string;
  readonly scheme?: string;
}

export const examples: Record<KindLaidOut, (id: string, cell: string) => Example> = {
  number: (id, cell) => ({
    part: 'Predict',
    text: `### ${id} How far apart are the dark lines?

YOURS: how far is it on the screen from the first dark line on one side to the first on the other? A direction $\\theta$ meets the screen at $x=D\\tan\\theta$ from the centre.

*2 marks. Answer in millimetres, to three digits.*

\`\`\`ts
const darkToDark = blank;   // your value, in millimetres
\`\`\`

\`\`\`ts
check('${id}', darkToDark);
\`\`\``,
    question: `    {
      id: '${id}',
      kind: 'number',
      asks: 'Between the first dark lines', // YOURS
      marks: 2,
      unit: 'mm',
      expected: (given) => 2 * place(given, 1), // YOURS, in SI
      tolerance: { relative: 0.01 },
      // YOURS: wrong ways that you have seen, at least three.
      slips: [
        {
          name: 'one side',
          value: (given) => place(given, 1),
          hint: 'This reaches from the centre to one dark line. The question asks from one to the other.',
        },
        {
          name: 'second dark lines',
          value: (given) => 2 * place(given, 2),
          hint: 'These lines are the second ones. Which path difference belongs to the first?',
        },
        {
          name: 'bright for dark',
          value: (given) => 2 * place(given, 1.5),
          hint: 'There it is bright: the rays of the two edges differ by one and a half wavelengths.',
        },
      ],
    },`,
    model: `    '${cell}-work': \`const angle = Math.asin(given.wavelength / given.diameter);
const darkToDark = (2 * given.distance * Math.tan(angle)) / mm(1);\`,`,
  }),
  list: (id, cell) => ({
    part: 'Predict',
    text: `### ${id} In which directions is it dark?

YOURS: at which angles from the axis are the first and the second dark line?

*2 marks. Answer with the list [first, second], in milliradians, to three digits.*

\`\`\`ts
const darkAngles = blank;   // [first, second], in milliradians
\`\`\`

\`\`\`ts
check('${id}', darkAngles);
\`\`\``,
    question: `    {
      id: '${id}',
      kind: 'list',
      asks: 'Angles of the first two dark lines', // YOURS
      marks: 2,
      unit: 'mrad',
      expected: (given) => [1, 2].map((order) => angle(given, order)), // YOURS, in SI and radians
      tolerance: { relative: 0.01 },
      slips: [
        {
          name: 'half-way between dark lines',
          value: (given) => [1.5, 2.5].map((order) => angle(given, order)),
          hint: 'There it is bright. Dark lines lie at whole numbers of wavelengths.',
        },
        {
          name: 'half the diameter',
          value: (given) => [2, 4].map((order) => angle(given, order)),
          hint: 'Each is twice as far out as it should be. Did you take half of the diameter?',
        },
      ],
    },`,
    model: `    '${cell}-work': \`const toAngle = (order: number) => Math.asin((order * given.wavelength) / given.diameter) / 0.001;
const darkAngles = [toAngle(1), toAngle(2)];\`,`,
  }),
  function: (id, cell) => ({
    part: 'Compute',
    text: `### ${id} Your own intensity

YOURS: beside the centre the intensity follows $\\left(\\dfrac{\\sin\\beta}{\\beta}\\right)^2$ with $\\beta=\\dfrac{\\pi a s}{\\lambda}$ and $s=\\sin\\theta$. Write it as a function of $s$; at $s=0$ it should answer 1.

*3 marks. A function of s without unit; it returns a number from 0 to 1.*

\`\`\`ts
function intensity(s: number): number {
  return NaN;   // your formula in the place of NaN
}
\`\`\`

\`\`\`ts
check('${id}', intensity);
\`\`\``,
    question: `    {
      id: '${id}',
      kind: 'function',
      asks: 'Intensity beside the centre', // YOURS
      marks: 3,
      signature: '(s: number) => number',
      // YOURS: where the function is tried; the sheet does not show it.
      points: ({ wavelength, diameter }) =>
        [-2.4, -1.5, 0, 0.3, 0.8, 1.2].map((u) => [(u * wavelength) / diameter]),
      expected: ({ wavelength, diameter }, s) => sincPi((diameter * s) / wavelength) ** 2,
      tolerance: { relative: 0.001 },
      slips: [
        {
          name: 'not squared',
          value:
            ({ wavelength, diameter }) =>
            (s) =>
              sincPi((diameter * s) / wavelength),
          hint: 'This is the amplitude; it can be negative. What does a screen show?',
        },
        {
          name: 'π left out',
          value:
            ({ wavelength, diameter }) =>
            (s) =>
              sincPi((diameter * s) / wavelength / Math.PI) ** 2,
          hint: 'Your pattern is about three times too wide. Is π in your β?',
        },
      ],
    },`,
    model: `    '${cell}-work': \`function intensity(s: number): number {
  const beta = (Math.PI * given.diameter * s) / given.wavelength;
  return beta === 0 ? 1 : (Math.sin(beta) / beta) ** 2;
}\`,`,
  }),
  word: (id, cell) => ({
    part: 'Predict',
    text: `### ${id} A thinner hair

YOURS: a thinner hair takes the place of yours. Does the central band become wider or narrower?

*1 mark. Answer with one word, between the quotes.*

\`\`\`ts
const thinner = blank;   // a word in quotes, such as 'brighter'
\`\`\`

\`\`\`ts
check('${id}', thinner);
\`\`\``,
    question: `    {
      id: '${id}',
      kind: 'word',
      asks: 'A thinner hair', // YOURS
      marks: 1,
      accepts: () => ['wider', 'broader'],
      slips: [
        {
          name: 'as with shadows',
          words: ['narrower', 'smaller'],
          hint: 'Shadows do that. Try a smaller a in the condition for the dark lines.',
        },
      ],
    },`,
    model: `    '${cell}-work': "const thinner = 'wider';",`,
  }),
  sealed: (id, cell) => ({
    part: 'Compare',
    text: `### ${id} How thick is the other hair?

YOURS: another hair stood in the same beam. From its third dark line on one side to the third on the other it is \`given.across\`, in m.

This question is sealed: your answer is recorded here and marked later.

*3 marks. Answer in micrometres, to three digits.*

\`\`\`ts
const otherHair = blank;   // your value, in micrometres
\`\`\`

\`\`\`ts
check('${id}', otherHair);
\`\`\``,
    question: `    { id: '${id}', kind: 'sealed', asks: 'The other hair', marks: 3, answer: 'number', unit: 'um' }, // YOURS`,
    sealed: `  '${id}': {
    id: '${id}',
    kind: 'number',
    asks: 'The other hair', // YOURS
    marks: 3,
    unit: 'um',
    expected: (given) => hair(given, 3, given.across / 2), // YOURS, in SI
    tolerance: { relative: 0.01 },
    slips: [
      {
        name: 'across for one side',
        value: (given) => hair(given, 3, given.across),
        hint: 'About half of what was expected. The distance given reaches from one side to the other.',
      },
      {
        name: 'first dark lines',
        value: (given) => hair(given, 1, given.across / 2),
        hint: 'This belongs to the first dark lines. Which ones were measured?',
      },
      {
        name: 'fourth dark lines',
        value: (given) => hair(given, 4, given.across / 2),
        hint: 'The order is one too high: there is no dark line in the centre.',
      },
    ],
  },`,
    model: `    '${cell}-work': \`const side = Math.sin(Math.atan(given.across / 2 / given.distance));
const otherHair = (3 * given.wavelength) / side / um(1);\`,`,
  }),
  written: (id, cell) => ({
    part: 'Explain',
    text: `### ${id} Why is a hair like a slit?

YOURS: a hair stops light where a slit lets it through, and yet both give the same dark lines. Explain it in three to five sentences.

*3 marks. Read and marked by a person.*

*Write here.*`,
    question: `    { id: '${id}', kind: 'written', asks: 'Why a hair is like a slit', marks: 3 }, // YOURS`,
    model: `    // YOURS: an answer that earns full marks.
    '${cell}-written':
      'A beam without any obstacle leaves the screen dark beside its centre. Hair and slit together are no obstacle, so beside the centre their two waves cancel: equal in size, opposite in sign. Intensity is the square, so both give the same dark lines.',`,
    scheme: `    // YOURS: what earns which mark.
    '${id}': [
      { marks: 1, point: 'Without an obstacle the screen is dark beside the centre.' },
      { marks: 1, point: 'Waves of hair and of slit add up to that, so they are opposite.' },
      { marks: 1, point: 'Intensity is the square of the amplitude, so the sign does not show.' },
    ],`,
  }),
};

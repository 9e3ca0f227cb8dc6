import { existsSync, mkdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Command, InvalidArgumentError } from 'commander';
import { home } from '../kernel/home';
import { examples, type KindLaidOut, kindsLaidOut } from './new-examples';

/** `multislit new NAME`: lay out the files of a sheet of one's own. */
export function newCommand(): Command {
  return new Command('new')
    .description('Lay out a new sheet: sheet.md, sheet.ts and key.ts, with a working example.')
    .argument('<name>', 'a number and words, such as 08-a-hair', sheetName)
    .option(
      '--questions <kinds>',
      `the kinds of its questions, in order: ${kindsLaidOut.join(', ')}`,
      kinds,
      [...kindsLaidOut],
    )
    .addHelpText(
      'after',
      `
It holds as it stands: npx multislit prove NAME. Every line to change says YOURS; prove lists those that are left.
The guide, worksheets/README.md, leads through them.`,
    )
    .action((name: string, { questions }: { questions: KindLaidOut[] }) => {
      const all = join(home, 'worksheets');
      const folder = join(all, name);
      if (!existsSync(all))
        throw new Error(`There is no ${all} here: sheets are written in a working copy.`);
      if (existsSync(folder))
        throw new Error(`${folder} is there already. Nothing was written; choose another name.`);
      const files = newSheet(name, questions);
      // Whole or not at all, and never a folder that a build would take for a sheet.
      const unfinished = join(home, '.build', `new-${name}-${process.pid}`);
      mkdirSync(unfinished, { recursive: true });
      try {
        for (const [file, text] of Object.entries(files))
          writeFileSync(join(unfinished, file), text);
        renameSync(unfinished, folder);
      } finally {
        rmSync(unfinished, { recursive: true, force: true });
      }
      console.log(
        `Written: ${Object.keys(files)
          .map((file) => join('worksheets', name, file))
          .join(', ')}\nNext: npx multislit prove ${name}, then search for YOURS.`,
      );
    });
}

function sheetName(text: string): string {
  if (/^\d{2}(?:-[a-z0-9]+)+$/.test(text)) return text;
  throw new InvalidArgumentError(
    'Two digits and words of small letters were expected, joined by hyphens: 08-a-hair.',
  );
}

function kinds(text: string): KindLaidOut[] {
  const named = text.split(/[\s,]+/).filter(Boolean);
  const isKnown = (kind: string): kind is KindLaidOut =>
    (kindsLaidOut as readonly string[]).includes(kind);
  const odd = named.find((kind) => !isKnown(kind));
  if (odd !== undefined || named.length === 0)
    throw new InvalidArgumentError(
      `${odd === undefined ? 'No kind is named' : `“${odd}” is no kind of question`}. There are: ${kindsLaidOut.join(', ')}.`,
    );
  return named.filter(isKnown);
}

/** `import { … } from 'multislit'` with those of the names that the code uses. */
function importing(names: readonly string[], code: string): string {
  const used = names.filter((name) => new RegExp(`\\b${name.split(' ').at(-1)}\\b`).test(code));
  return `import { ${used.join(', ')} } from 'multislit';\n`;
}

/** A file's text by its name. */
type Files = Readonly<Record<'sheet.md' | 'sheet.ts' | 'key.ts', string>>;

/**
 * The files of a new sheet: a working example of each kind of question asked for, about a hair in a beam of light. Every
 * line that its author is to change says YOURS.
 *
 * @param name the sheet's name, a number and words: `08-a-hair`
 * @param kinds the kinds of its questions, in their order
 */
export function newSheet(name: string, kinds: readonly KindLaidOut[]): Files {
  const chapter = String(Number(name.split('-')[0]));
  const words = name.slice(name.indexOf('-') + 1).replaceAll('-', ' ');
  const title = words.charAt(0).toUpperCase() + words.slice(1);
  const made = kinds.map((kind, i) => examples[kind](`${chapter}.${i + 1}`, `${chapter}-${i + 1}`));
  const isSealed = kinds.includes('sealed');

  const asked = made.map(({ part, text }, i) =>
    part === made[i - 1]?.part ? text : `## ${part}\n\n${text}`,
  );
  const shown = asked.join('\n\n');
  const opening = `const given = begin('${name}', studentNumber);

// YOURS: what there is to see. A lens of the focal length D would record it so.
show(() => stackedStrips([
  {
    label: 'your hair',
    strip: filmStrip(slits(1, { width: given.diameter }), laser(given.wavelength), {
      focalLength: given.distance, exposure: 6,
      span: (6 * given.distance * given.wavelength) / given.diameter,
    }),
  },
]));`;
  const cells = `${importing(
    ['begin', 'blank', 'check', 'filmStrip', 'laser', 'mm', 'show', 'slits', 'stackedStrips', 'um'],
    `${opening}${shown}${made.map(({ model }) => model).join()}`,
  )}
${opening}`;
  const text = `# ${title}

About 30 minutes. You need this sheet, paper and a pencil; no apparatus.

YOURS: a parallel beam of wavelength $\\lambda$ meets a hair of diameter $a$. On a screen at the distance $D$, beside the bright spot of the beam, stands the pattern of a slit of the same width. Its dark lines lie at $a\\sin\\theta=m\\lambda$ with $m=\\pm1,\\pm2,\\dots$

> **Take care.** If your class does this for real: never look along a beam of sunlight or of a laser, nor into its reflection. The rules of your laboratory and its responsible safety officer decide what may be done.

\`\`\`ts
const studentNumber = '000000';   // type your own student number between the quotes
\`\`\`

\`\`\`ts
${cells}
\`\`\`

## Look

YOURS: what is there to see in the strip?

${shown}
`;

  const usesAngle = kinds.includes('list') || kinds.includes('number');
  const helpers = `${
    usesAngle
      ? `/** Direction for the path difference of \`order\` wavelengths. */
const angle = ({ wavelength, diameter }: Given, order: number) =>
  Math.asin((order * wavelength) / diameter);
`
      : ''
  }${
    kinds.includes('number')
      ? `/** On the screen, from the centre, for the path difference of \`order\` wavelengths. */
const place = (given: Given, order: number) => given.distance * Math.tan(angle(given, order));
`
      : ''
  }`;
  const sheetBody = `/** YOURS: what each student gets; lengths in m. */
export interface Given {
  /** Diameter a of the hair, m. */
  diameter: number;
  /** Wavelength λ, m. */
  wavelength: number;
  /** Distance D from the hair to the screen, m. */
  distance: number;
${
  isSealed
    ? `  /** From the third dark line of another hair on one side to the third on the other, m. */
  across: number;
`
    : ''
}}

/** YOURS: the names of the draws stay when the sheet is changed, or everybody's numbers move. */
function givens(draw: Draw): Given {
  const wavelength = draw.choice('wavelength', [nm(520), nm(532), nm(635), nm(650)]);
  const distance = draw.between('distance', m(1.5), m(2.5), m(0.05));
  const diameter = draw.between('diameter', um(50), um(90), um(1));
${
  isSealed
    ? `  const other = draw.between('other hair', um(50), um(90), um(0.5));
  const exact = 2 * distance * Math.tan(Math.asin((3 * wavelength) / other));
  const across = mm(Math.round(exact / mm(0.5)) / 2);
  return { diameter, wavelength, distance, across };`
    : '  return { diameter, wavelength, distance };'
}
}

${helpers}${helpers && '\n'}export default defineSheet<Given>({
  name: '${name}',
  title: '${title}', // YOURS
  givens,
  tells: ({ diameter, wavelength, distance${isSealed ? ', across' : ''} }) => [
    // YOURS: how the sheet tells what was drawn.
    \`Diameter of the hair: a = \${formatQuantity(diameter, 'um', 4)} (given.diameter)\`,
    \`Wavelength: λ = \${formatQuantity(wavelength, 'nm', 4)} (given.wavelength)\`,
    \`From the hair to the screen: D = \${formatQuantity(distance, 'm', 4)} (given.distance)\`,
${isSealed ? `    \`The other hair, across: \${formatQuantity(across, 'mm', 4)} (given.across)\`,\n` : ''}  ],
  questions: [
${made.map(({ question }) => question).join('\n')}
  ],
});
`;
  const sheet = `${importing(
    ['type Draw', 'defineSheet', 'formatQuantity', 'm', 'mm', 'nm', 'sincPi', 'um'],
    sheetBody,
  )}
${sheetBody}`;

  const sealed = made.flatMap((one) => one.sealed ?? []).join('\n');
  const key = `import { defineKey${isSealed ? ', type OpenQuestion' : ''} } from 'multislit';
import { sampleAnswers } from '../sample-answers';
import sheet, { type Given } from './sheet';

${
  isSealed
    ? `/** Diameter of a hair whose dark line of this order lies at \`x\` from the centre, m. */
const hair = ({ wavelength, distance }: Given, order: number, x: number) =>
  (order * wavelength) / Math.sin(Math.atan(x / distance));

const sealed: Record<string, OpenQuestion<Given>> = {
${sealed}
};

`
    : ''
}// Nothing in this file is handed out.
export default defineKey<Given>({
  sheet,
  sealed${isSealed ? '' : ': {}'},
  // YOURS: what solves each cell, by the question's number.
  model: {
${made.map(({ model }) => model).join('\n')}
  },
  schemes: {
${made.flatMap(({ scheme }) => scheme ?? []).join('\n')}
  },
  // YOURS: what the instructor should know.
  instructor: \`# ${title}: for the instructor

## Purpose
What is stopped makes the same pattern as what is let through.

## Answers for the sample student
\${sampleAnswers(sheet, ${isSealed ? 'sealed' : '{}'})}

## Usual troubles
- The distance to one side only.

## Time
30 minutes.

## Apparatus for the real demonstration
A laser of class 2, a hair taped across a frame, a wall at 2 m, a sheet of paper and a ruler.

## Safety
The laser is fixed and points at the wall, below the height of eyes; nobody looks into the beam or its reflection. The responsible safety officer decides what may be done.
\`,
});
`;
  return { 'sheet.md': text, 'sheet.ts': sheet, 'key.ts': key };
}

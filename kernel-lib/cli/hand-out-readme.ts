import type { HandOutFacts } from './hand-out-facts';

/** A time as a person reads it, in the time zone that it was given in: 2026-11-20T23:59+01:00 → 2026-11-20 23:59 (+01:00). */
export function readableTime(iso: string): string {
  const [, day, time, zone] = /^([\d-]{10})(?:T([\d:]{4,8})(.*))?$/.exec(iso) ?? [];
  if (!day) return iso;
  if (!time) return day;
  if (time === '24:00') return `the end of ${day} (${zone})`;
  return `${day} ${time}${zone ? ` (${zone === 'Z' ? 'UTC' : zone})` : ''}`;
}

/** What the student reads first. */
export function handOutReadme(
  { course, deadline }: HandOutFacts,
  titles: readonly string[],
): string {
  const due = deadline === undefined ? '' : `\nHand in by **${readableTime(deadline)}**.\n`;
  return `# ${course ?? 'Worksheets on diffraction'}

1. Install Node.js: the version that its download page recommends (LTS), at least 20.19.
2. In a terminal, in this folder: \`npm start\`. If PowerShell on Windows says that running scripts is disabled, type
   \`npm.cmd start\`.

The first start fetches some packages from the internet (once, about a minute); then the worksheets open in your
browser. Type your student number once. Ctrl-C in the terminal ends.

${titles.map((title) => `- ${title}`).join('\n')}
${due}
Your copies lie in the folder \`multislit\` in your home folder, or wherever \`npm start -- FOLDER\` says. They are saved
as you work. To hand in, press *Hand in* at the top of the sheet: it shows what is still open and makes the one file to
send. The sheet's \`.ipynb\` file from your folder will do as well. A check that says *agrees* keeps its marks; asking again
never costs one. Nothing is sent anywhere by this program.

**Take care.** If you try any of this for real: never look along a beam of sunlight or of a laser, nor through a lens or
telescope at the sun or a bright lamp; sunlight gathered by a lens burns. Lamps get hot, mercury lamps give ultraviolet
light, and their supplies carry mains voltage. The rules of your laboratory and its responsible safety officer decide
what may be done.
`;
}

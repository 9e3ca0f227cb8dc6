import { resolve } from 'node:path';
import { Command } from 'commander';
import { stepWedge } from '../figures/step-wedge';
import { requireWritable, writeWhole } from '../kernel/files';

/** `multislit wedge`: the picture that tells a camera's curve. */
export function wedgeCommand(): Command {
  return new Command('wedge')
    .description('Draw a step wedge: shown on a screen and photographed it tells a camera’s curve.')
    .requiredOption('--to <file>', 'where to write: a .png, or a .svg with the steps named')
    .addHelpText(
      'after',
      `
Show it at 100 %, so that one pixel of it is one of the screen, at the screen's full brightness in a dim room. Photograph
it from straight ahead and so far away, or a little out of focus, that single pixels are not seen, with the camera set as
for your pattern and no step full. Then, with the middles of its first and last step in pixels:
  curveFromWedge(wedgeSteps('my-wedge.jpg', { first, last }), [1, 2, … 16])   is the curve for pictureProfile`,
    )
    .action(async ({ to }: { to: string }) => {
      const isSvg = /\.svg$/i.test(to);
      if (!isSvg && !/\.png$/i.test(to))
        throw new Error(`--to ${to}: the name must end in .png or .svg.`);
      const target = resolve(to);
      requireWritable(target);
      const { svg, png, alt } = stepWedge();
      await writeWhole(target, isSvg ? svg : png);
      console.log(`${alt}\nWritten to ${target}`);
    });
}

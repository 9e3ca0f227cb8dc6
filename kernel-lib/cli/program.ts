import { Command } from 'commander';
import { version } from '../../package.json';
import { installKernel, whereKernel } from '../kernel/kernelspec';
import { handOutCommand } from './hand-out';
import { markCommand } from './mark';
import { openCommand } from './open';
import { packCommand } from './pack';
import { proveCommand } from './prove';
import { runCommand } from './run';
import { stripCommand } from './strip';
import { wedgeCommand } from './wedge';

/** The command line, `npx multislit …`. Made anew at each call so that tests can run it many times. */
export function program(): Command {
  const commands = [
    openCommand(),
    runCommand(),
    proveCommand(),
    handOutCommand(),
    packCommand(),
    markCommand(),
    stripCommand(),
    wedgeCommand(),
    kernelCommand(),
  ];
  const all = new Command('multislit')
    .description(
      'Worksheets on diffraction: open them, run them, prove them, hand them out, pack and mark them, draw film strips and a step wedge.',
    )
    .version(version)
    .showHelpAfterError('(multislit --help lists the commands)')
    .exitOverride();
  for (const command of commands) {
    command.exitOverride();
    all.addCommand(command);
  }
  return all;
}

/** `multislit kernel install|where`: make the kernel known to Jupyter front ends on this machine. */
function kernelCommand(): Command {
  const kernel = new Command('kernel').description('Make the kernel known to Jupyter front ends.');
  kernel
    .command('install')
    .description('write the kernelspec where Jupyter looks for it (no Python needed)')
    .option('--dir <folder>', "another Jupyter data folder than this user's own")
    .action(async ({ dir }: { dir?: string }) => {
      console.log(`The kernel is installed in ${await installKernel({ dir })}`);
    });
  kernel
    .command('where')
    .description('print where the kernelspec lies; exit code 1 when it is not installed')
    .option('--dir <folder>', "another Jupyter data folder than this user's own")
    .action(async ({ dir }: { dir?: string }) => {
      const place = await whereKernel({ dir });
      if (!place) {
        throw new Error('The kernel is not installed. Run: npx multislit kernel install');
      }
      console.log(place);
    });
  for (const command of kernel.commands) command.exitOverride();
  return kernel;
}

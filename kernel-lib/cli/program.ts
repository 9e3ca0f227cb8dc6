import { Command } from 'commander';
import { version } from '../../package.json';
import { handOutCommand } from './hand-out';
import { kernelCommand } from './kernel';
import { markCommand } from './mark';
import { openCommand } from './open';
import { proveCommand } from './prove';
import { runCommand } from './run';
import { stripCommand } from './strip';

/** The command line, `npx multislit …`. Made anew at each call so that tests can run it many times. */
export function program(): Command {
  const commands = [
    openCommand(),
    runCommand(),
    proveCommand(),
    handOutCommand(),
    markCommand(),
    stripCommand(),
    kernelCommand(),
  ];
  const all = new Command('multislit')
    .description(
      'Worksheets on diffraction: open them, run them, prove them, hand them out, mark them, draw film strips.',
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

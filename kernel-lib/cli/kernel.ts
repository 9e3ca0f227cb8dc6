import { Command } from 'commander';
import { installKernel, whereKernel } from '../kernel/kernelspec';

/** `multislit kernel install|where`: make the kernel known to Jupyter front ends on this machine. */
export function kernelCommand(): Command {
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

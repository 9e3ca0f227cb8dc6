import { built } from './home';

/**
 * The command that starts the kernel, program first.
 * A cell stopped in the middle of a callback leaves Node's record of asynchronous calls unbalanced;
 * with its check on, Node would end the process for that.
 */
export function kernelCommand(connectionFile: string): string[] {
  return [
    process.execPath,
    '--no-force-async-hooks-checks',
    built('kernel.cjs'),
    '--connection',
    connectionFile,
  ];
}

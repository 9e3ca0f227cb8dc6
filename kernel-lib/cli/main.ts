import { CommanderError } from 'commander';
import { program } from './program';

/** Exit codes: 0 done, 1 something is wrong with what was handed in or around it, 2 the arguments of the command. */
async function main(): Promise<void> {
  try {
    await program().parseAsync(process.argv);
  } catch (error) {
    if (error instanceof CommanderError) {
      process.exitCode = error.exitCode === 0 ? 0 : 2;
      return;
    }
    // MULTISLIT_TRACE=1 shows where an unexpected error comes from; people otherwise get the sentence.
    const { stack, message } = error as Error;
    console.error(process.env.MULTISLIT_TRACE ? stack : message);
    process.exitCode = 1;
  }
}

void main();

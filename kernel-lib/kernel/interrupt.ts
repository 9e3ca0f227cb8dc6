import { Session } from 'node:inspector';

/** What the control thread and the main thread tell each other. */
export type ToMain =
  | { type: 'interrupt'; cell: number }
  | { type: 'status'; state: 'busy' | 'idle'; parent: unknown }
  | { type: 'shutdown' };
export type ToControl = { type: 'interrupted' } | { type: 'end' };

const patience = 150;
const attempts = 30;

/** Ends whatever JavaScript the main thread is running, in the middle of it. */
function terminateMain(): void {
  const session = new Session();
  session.connectToMainThread();
  session.post('Runtime.terminateExecution', () => session.disconnect());
}

/**
 * Stop what the main thread does; called on the control thread. First gently: a signal that ends a
 * cell's own code with an error, and word to the main thread. A main thread that does not answer is
 * in a loop, which is then cut off; again and again while timers or callbacks start further loops.
 *
 * @param tell sends the word to the main thread
 * @param answered resolves when the main thread has answered
 */
export async function interruptMain(tell: () => void, answered: Promise<void>): Promise<boolean> {
  let done = false;
  const answer = answered.then(() => {
    done = true;
  });
  const wait = (ms: number) => new Promise<void>((ready) => setTimeout(ready, ms));
  tell();
  if (process.platform !== 'win32') process.kill(process.pid, 'SIGINT');
  for (let attempt = 0; attempt < attempts && !done; attempt += 1) {
    await Promise.race([answer, wait(patience)]);
    if (!done) terminateMain();
  }
  return done;
}

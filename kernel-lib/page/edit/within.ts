/** Longest the editor waits for the kernel, which may be computing, ms. */
const patience = 3000;

/** What the kernel answers in time; nothing when it fails, too. */
export const within = <T>(promise: Promise<T>): Promise<T | undefined> =>
  Promise.race([
    promise.catch(() => undefined),
    new Promise<undefined>((done) => setTimeout(done, patience, undefined)),
  ]);

/** Shows how far a run is: a bar with the time left on a terminal, a plain line now and then otherwise. */
export function markProgress(of: number): { step(done: number): void; end(): void } {
  const out = process.stderr;
  const started = Date.now();
  let told = started;
  const left = (done: number) => {
    const seconds = ((Date.now() - started) / 1000 / done) * (of - done);
    if (seconds < 90) return `${Math.ceil(seconds)} s left`;
    return `${Math.ceil(seconds / 60)} min left`;
  };
  return {
    step(done) {
      if (out.isTTY) {
        const full = Math.round((30 * done) / of);
        const bar = '█'.repeat(full) + '░'.repeat(30 - full);
        out.write(`\r${bar} ${done} of ${of} returns, ${left(done)} \u001b[K`);
      } else if (Date.now() - told > 10_000) {
        told = Date.now();
        out.write(`${done} of ${of} returns, ${left(done)}\n`);
      }
    },
    end() {
      if (out.isTTY) out.write('\r\u001b[K');
    },
  };
}

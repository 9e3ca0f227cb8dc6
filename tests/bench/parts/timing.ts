/** Seconds that some work takes, sorted; rounds before are not counted, since a compiler needs some. */
export function sortedSeconds(work: () => unknown, times: number, warm: number): number[] {
  for (let i = 0; i < warm; i++) work();
  const taken = Array.from({ length: times }, () => {
    const start = performance.now();
    work();
    return (performance.now() - start) / 1e3;
  });
  return taken.sort((a, b) => a - b);
}

export const medianSeconds = (work: () => unknown, times: number, warm: number): number =>
  sortedSeconds(work, times, warm)[times >> 1];

export const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[values.length >> 1];

export const milliseconds = (seconds: number, digits = 2): string =>
  `${(seconds * 1e3).toFixed(digits)} ms`;

/** Plotly stays quick, and a notebook small, with at most this many points a trace. */
export const mostPoints = 2000;

/**
 * Thins a curve to at most `most` points for drawing. Of each stretch the lowest and the highest
 * point are kept, so that no narrow peak and no zero goes missing.
 */
export function thin(x: ArrayLike<number>, y: ArrayLike<number>, most = mostPoints) {
  if (x.length <= most) return { x: Array.from(x), y: Array.from(y) };
  const stretches = Math.floor(most / 2) - 1;
  const keep = [0];
  for (let k = 0; k < stretches; k++) {
    const start = 1 + Math.floor((k * (x.length - 2)) / stretches);
    const end = 1 + Math.floor(((k + 1) * (x.length - 2)) / stretches);
    let [low, high] = [start, start];
    for (let i = start + 1; i < end; i++) {
      if (y[i] < y[low]) low = i;
      if (y[i] > y[high]) high = i;
    }
    keep.push(Math.min(low, high));
    if (low !== high) keep.push(Math.max(low, high));
  }
  keep.push(x.length - 1);
  return { x: keep.map((i) => x[i]), y: keep.map((i) => y[i]) };
}

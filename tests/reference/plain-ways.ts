/** Plain ways of working things out, for tests that recompute answers: nothing of the library is used. */

/** ∫ f over low…high by Simpson's rule. */
export function simpson(f: (x: number) => number, low: number, high: number, steps = 400): number {
  const h = (high - low) / steps;
  let sum = f(low) + f(high);
  for (let i = 1; i < steps; i++) sum += (i % 2 ? 4 : 2) * f(low + i * h);
  return (sum * h) / 3;
}

/** Where f changes its sign, by halving. */
export function bisected(f: (x: number) => number, low: number, high: number): number {
  let [a, b] = [low, high];
  const sign = Math.sign(f(a));
  if (sign === Math.sign(f(b))) throw new RangeError(`No change of sign from ${low} to ${high}.`);
  for (let i = 0; i < 100; i++) {
    const middle = (a + b) / 2;
    if (Math.sign(f(middle)) === sign) a = middle;
    else b = middle;
  }
  return (a + b) / 2;
}

/** Where f is least, by the golden section. */
export function lowest(f: (x: number) => number, low: number, high: number): number {
  const golden = (Math.sqrt(5) - 1) / 2;
  let [a, b] = [low, high];
  for (let i = 0; i < 80; i++) {
    const [c, d] = [b - golden * (b - a), a + golden * (b - a)];
    if (f(c) < f(d)) b = d;
    else a = c;
  }
  return (a + b) / 2;
}

/** Amplitude behind openings, by adding up waves from many points in each; `s` is the direction sine, 1 in front. */
export function addedWaves(
  centres: readonly number[],
  width: number,
  wavelength: number,
  points = 200,
): (s: number) => { re: number; im: number } {
  return (s) => {
    let [re, im] = [0, 0];
    for (const centre of centres)
      for (let k = 0; k < points; k++) {
        const phase =
          (2 * Math.PI * (centre + ((k + 0.5) / points - 0.5) * width) * s) / wavelength;
        re += Math.cos(phase);
        im += Math.sin(phase);
      }
    const all = centres.length * points;
    return { re: re / all, im: im / all };
  };
}

/** Intensity behind equal openings, relative to that in front, in the same way. */
export function addedUp(
  centres: readonly number[],
  width: number,
  wavelength: number,
  points = 200,
): (s: number) => number {
  const wave = addedWaves(centres, width, wavelength, points);
  return (s) => {
    const { re, im } = wave(s);
    return re * re + im * im;
  };
}

/** Middles of `count` openings `spacing` apart. */
export const row = (count: number, spacing: number): number[] =>
  Array.from({ length: count }, (_, i) => (i - (count - 1) / 2) * spacing);

/** Solve a small system of linear equations by elimination. */
function solved(matrix: readonly (readonly number[])[], right: readonly number[]): number[] {
  const rows = matrix.map((line, i) => [...line, right[i]]);
  const n = rows.length;
  for (let i = 0; i < n; i++) {
    const best = rows.slice(i).reduce((b, line, k) => {
      return Math.abs(line[i]) > Math.abs(rows[b][i]) ? i + k : b;
    }, i);
    [rows[i], rows[best]] = [rows[best], rows[i]];
    for (let k = 0; k < n; k++) {
      if (k === i) continue;
      const factor = rows[k][i] / rows[i][i];
      for (let j = i; j <= n; j++) rows[k][j] -= factor * rows[i][j];
    }
  }
  return rows.map((line, i) => line[n] / line[i]);
}

export interface PlainFit {
  readonly p: number[];
  readonly chiSquare: number;
}

/** Least squares by Gauss and Newton with differences for derivatives, damped when a step makes it worse. */
export function plainFit(
  model: (p: readonly number[]) => readonly number[],
  y: readonly number[],
  u: (i: number) => number,
  start: readonly number[],
  rounds = 60,
): PlainFit {
  const misses = (p: readonly number[]) => model(p).map((value, i) => (y[i] - value) / u(i));
  const sum = (list: readonly number[]) => list.reduce((total, each) => total + each * each, 0);
  let p = [...start];
  let misfit = misses(p);
  let damping = 1e-3;
  for (let round = 0; round < rounds; round++) {
    const columns = p.map((value, k) => {
      const step = 1e-6 * (Math.abs(value) || 1e-4);
      const moved = misses(p.map((each, j) => (j === k ? each + step : each)));
      return moved.map((each, i) => (misfit[i] - each) / step);
    });
    const dot = (a: readonly number[], b: readonly number[]) =>
      a.reduce((total, each, i) => total + each * b[i], 0);
    const scale = columns.map((column) => Math.sqrt(dot(column, column)) || 1);
    const normal = columns.map((a, i) =>
      columns.map((b, j) => dot(a, b) / scale[i] / scale[j] + (i === j ? damping : 0)),
    );
    const step = solved(
      normal,
      columns.map((column, i) => dot(column, misfit) / scale[i]),
    );
    const next = p.map((value, k) => value + step[k] / scale[k]);
    const after = misses(next);
    const [before, now] = [sum(misfit), sum(after)];
    if (!(now < before)) {
      damping *= 10;
      if (damping > 1e8) break;
      continue;
    }
    [p, misfit, damping] = [next, after, damping / 10];
    if (before - now < 1e-9 * before) break;
  }
  return { p, chiSquare: sum(misfit) };
}

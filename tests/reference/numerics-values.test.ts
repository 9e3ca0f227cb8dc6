import { expect, test } from 'vitest';
import { fresnelIntegrals } from '../../kernel-lib/numerics/fresnel-integrals';
import { linearInterpolant, splineInterpolant } from '../../kernel-lib/numerics/interpolation';
import { gaussLegendre, integrate } from '../../kernel-lib/numerics/quadrature';
import { seeded } from '../../kernel-lib/numerics/random';
import { findRoot } from '../../kernel-lib/numerics/roots';
// Made by numerics-values.py, beside this file, with Debian's NumPy and SciPy.
import reference from './numerics-values.json';

function expectClose(ours: number, theirs: number, tolerance: number, what: string) {
  expect(Math.abs(ours - theirs), `${what}: ${ours}, not ${theirs}`).toBeLessThanOrEqual(tolerance);
}

test('Fresnel integrals agree with SciPy to 5e-15', () => {
  const { v, c, s } = reference.fresnel;
  for (const [i, value] of v.entries()) {
    const ours = fresnelIntegrals(value);
    expectClose(ours.c, c[i], 5e-15, `C(${value})`);
    expectClose(ours.s, s[i], 5e-15, `S(${value})`);
  }
});

test('a natural spline agrees with SciPy, straight lines with NumPy', () => {
  const { xs, ys, at, natural, linear } = reference.spline;
  const spline = splineInterpolant(xs, ys);
  const lines = linearInterpolant(xs, ys);
  at.forEach((x, i) => {
    expectClose(spline(x), natural[i], 1e-12, `spline at ${x}`);
    expectClose(lines(x), linear[i], 1e-13, `line at ${x}`);
  });
});

test('integrals agree with SciPy to 1e-11', () => {
  const functions: [keyof typeof reference.integrals, (x: number) => number, number, number][] = [
    ['exp(-x²)', (x) => Math.exp(-x * x), -3, 5],
    ['1/(1 + 100x²)', (x) => 1 / (1 + 100 * x * x), -5, 5],
    ['√x', Math.sqrt, 0, 2],
    ['cos(40x)', (x) => Math.cos(40 * x), 0, 1],
  ];
  for (const [name, f, low, high] of functions) {
    expectClose(integrate(f, low, high), reference.integrals[name], 1e-11, name);
  }
});

test('roots agree with SciPy to 4e-15', () => {
  const { roots } = reference;
  const expm = (x: number) => Math.exp(-x) - 1e-3;
  expectClose(
    findRoot((x) => Math.cos(x) - x, 0, 1),
    roots['cos x − x'],
    4e-15,
    'cos x − x',
  );
  expectClose(
    findRoot((x) => x ** 3 - 2 * x - 5, 2, 3),
    roots['x³ − 2x − 5'],
    4e-15,
    'x³ − 2x − 5',
  );
  expectClose(
    findRoot((x) => Math.tan(x) - x, 4.4, 4.6),
    roots['tan x − x near 4.49'],
    4e-15,
    'tan x − x',
  );
  expectClose(findRoot(expm, 0, 100), roots['e^−x − 1e−3'], 4e-15, 'e^−x − 1e−3');
});

test('21 Gauss–Legendre nodes and weights agree with NumPy', () => {
  const { nodes, weights } = gaussLegendre(21);
  for (const [i, x] of reference.legendre.nodes.entries()) {
    expectClose(nodes[i], x, 2e-15, `node ${i}`);
    expectClose(weights[i], reference.legendre.weights[i], 2e-15, `weight ${i}`);
  }
});

test('seeded streams agree with a second implementation in Python: uniforms and wholes to the last bit', () => {
  for (const { seed, uniform, whole, normal } of reference.streams) {
    const [u, w, n] = [seeded(seed), seeded(seed), seeded(seed)];
    expect(uniform.map(() => u.uniform())).toEqual(uniform);
    expect(whole.map(() => w.whole(3_000_000_000))).toEqual(whole);
    // Python's logarithm may differ from ours in the last bit.
    for (const theirs of normal) expectClose(n.normal(), theirs, 2e-15, 'normal deviate');
  }
});

import { expect, test } from 'vitest';
import { nm, um } from '../../kernel-lib/quantity/si';
import { drawFor } from '../../kernel-lib/questions/draw';

test('same sheet and number, same givens; any other gives others', () => {
  const width = (sheet: string, student: string, name = 'width') =>
    drawFor(sheet, student).between(name, um(20), um(60), um(0.001));
  expect(width('02-one-slit', '204117')).toBe(width('02-one-slit', '204117'));
  const others = [
    width('03-two-slits', '204117'),
    width('02-one-slit', '204118'),
    width('02-one-slit', '0204117'),
    width('02-one-slit', '204117', 'spacing'),
  ];
  for (const other of others) expect(other).not.toBe(width('02-one-slit', '204117'));
});

test('a new given never moves the others', () => {
  const before = drawFor('s', '1234');
  const after = drawFor('s', '1234');
  after.normals('new', 3);
  after.seed('newer');
  expect(after.between('width', 0, 1, 0.001)).toBe(before.between('width', 0, 1, 0.001));
});

test('between gives whole multiples of the step, both ends included, all about equally often', () => {
  const counts = new Map<number, number>();
  for (let i = 0; i < 6000; i++) {
    const value = drawFor('s', String(10_000 + i)).between('w', nm(500), nm(550), nm(10));
    counts.set(value, (counts.get(value) ?? 0) + 1);
  }
  expect([...counts.keys()].sort((a, b) => a - b)).toEqual([
    5e-7, 5.1e-7, 5.2e-7, 5.3e-7, 5.4e-7, 5.5e-7,
  ]);
  // Binomial: 1000 ± 29; five of those.
  for (const count of counts.values()) expect(Math.abs(count - 1000)).toBeLessThan(145);
});

test('normal deviates have 6 decimals, mean 0 and standard deviation 1', () => {
  const values = drawFor('s', '1234').normals('noise', 10_000);
  for (const value of values) expect(Number(value.toFixed(6))).toBe(value);
  const mean = values.reduce((a, b) => a + b, 0) / values.length;
  const variance = values.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (values.length - 1);
  expect(Math.abs(mean)).toBeLessThan(4 / 100);
  expect(Math.abs(Math.sqrt(variance) - 1)).toBeLessThan(4 / Math.sqrt(20_000));
});

test('choice and seed', () => {
  const draw = drawFor('s', '1234');
  expect(['a', 'b', 'c']).toContain(draw.choice('letter', ['a', 'b', 'c']));
  expect(Number.isInteger(draw.seed('dust'))).toBe(true);
});

test("a draw that cannot be sound is told to the sheet's author", () => {
  const draw = drawFor('s', '1234');
  expect(() => draw.between('w', 1, 2, 0)).toThrow(/step above 0/);
  expect(() => draw.between('w', 2, 1, 0.1)).toThrow(/low ≤ high/);
  expect(() => draw.between('w', 0.25, 1, 0.1)).toThrow(/whole multiples of the step/);
  expect(() => draw.choice('c', [])).toThrow(/empty list/);
  expect(() => draw.normals('n', -1)).toThrow(/asks for -1/);
  draw.seed('twice');
  expect(() => draw.seed('twice')).toThrow(/'twice' is drawn twice/);
});

test.each([
  ['low', [Number.NaN, 1, 0.1]],
  ['low', [Number.NEGATIVE_INFINITY, 1, 0.1]],
  ['high', [0, Number.POSITIVE_INFINITY, 0.1]],
  ['step', [0, 1, Number.POSITIVE_INFINITY]],
  ['step', [0, 1, -0.1]],
] as const)('a range whose %s is no proper number is refused: %j', (_end, [low, high, step]) => {
  expect(() => drawFor('s', '1234').between('w', low, high, step)).toThrow(
    /'w' is drawn between .* in steps of .*low ≤ high and a step above 0/,
  );
});

test('a range of one value gives it, and no deviates are an empty list', () => {
  expect(drawFor('s', '1234').between('w', 0.3, 0.3, 0.1)).toBe(0.3);
  expect(drawFor('s', '1234').normals('n', 0)).toEqual([]);
  expect(() => drawFor('s', '1234').normals('n', 1.5)).toThrow(/asks for 1\.5 deviates/);
});

test.each([[''], [undefined], [7]])('a draw needs a name; %j is none', (name) => {
  expect(() => drawFor('s', '1234').seed(name as string)).toThrow(/needs a name of its own/);
});

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { turns } from '../../kernel-lib/marker/mark-all';

const task = (name: string, n: number) => ({ sheet: { name }, n });
type Task = ReturnType<typeof task>;

describe('returns dealt out to several markers', () => {
  test('each stays with its sheet, and takes one that nobody is at when that is done', () => {
    const names = ['a', 'b', 'c', 'a', 'b', 'c', 'c', 'c'];
    const left = turns(names.map(task));
    const [one, two] = [left.take()!, left.take()!];
    expect([one, two]).toEqual([task('c', 2), task('a', 0)]);
    expect(left.sheetAfter(two)).toBe('a');
    const third = left.take(two)!;
    expect(third).toEqual(task('a', 3));
    expect(left.sheetAfter(third)).toBe('b');
    expect(left.take(third)).toEqual(task('b', 1));
    expect(left.take(one)).toEqual(task('c', 5));
  });

  test('whoever has nothing left helps another', () => {
    const left = turns(['a', 'a', 'a'].map(task));
    expect([left.take()!.n, left.take()!.n]).toEqual([0, 1]);
    expect(left.sheetAfter(task('a', 0))).toBe('a');
    expect(left.take(task('a', 0))).toEqual(task('a', 2));
    expect(left.sheetAfter(task('a', 0))).toBeUndefined();
    expect(left.take(task('a', 1))).toBeUndefined();
  });

  test('everything is dealt out once, in the order of each sheet, whoever asks when', () => {
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom('a', 'b', 'c', 'd'), { maxLength: 40 }),
        fc.array(fc.nat(2), { minLength: 60, maxLength: 60 }),
        (names, asking) => {
          const left = turns(names.map(task));
          const had: (Task | undefined)[] = [];
          const dealt: Task[] = [];
          for (const who of [...asking, 0, 1, 2]) {
            had[who] = left.take(had[who]);
            if (had[who]) dealt.push(had[who]);
          }
          expect(dealt.map(({ n }) => n).sort((x, y) => x - y)).toEqual([...names.keys()]);
          for (const name of new Set(names)) {
            const numbers = dealt.filter(({ sheet }) => sheet.name === name).map(({ n }) => n);
            expect(numbers).toEqual([...numbers].sort((x, y) => x - y));
          }
        },
      ),
      { seed: 20261126 },
    );
  });
});

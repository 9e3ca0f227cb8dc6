import { describe, expect, test } from 'vitest';
import { remembered } from '../../kernel-lib/cells/convert/remembered';

describe('remembered', () => {
  test('forgets what was asked for longest ago when room runs out', () => {
    const known = remembered<string>(3);
    known.set('a', 'one', 1);
    known.set('b', 'two', 1);
    known.set('c', 'three', 1);
    expect(known.get('a')).toBe('one');
    known.set('d', 'four', 1);
    expect(['a', 'b', 'c', 'd'].map((key) => known.get(key))).toEqual([
      'one',
      undefined,
      'three',
      'four',
    ]);
  });

  test('counts sizes, also of what is set anew', () => {
    const known = remembered<number>(10);
    known.set('a', 1, 6);
    known.set('a', 2, 2);
    known.set('b', 3, 8);
    expect([known.get('a'), known.get('b')]).toEqual([2, 3]);
    known.set('c', 4, 9);
    expect([known.get('a'), known.get('b'), known.get('c')]).toEqual([undefined, undefined, 4]);
  });

  test('does not keep what is larger than all room, nor what was there under its key', () => {
    const known = remembered<number>(5);
    known.set('a', 1, 1);
    known.set('a', 2, 6);
    expect(known.get('a')).toBeUndefined();
    known.set('b', 3, 5);
    expect(known.get('b')).toBe(3);
  });

  test('is empty when cleared, with all its room', () => {
    const known = remembered<number>(2);
    known.set('a', 1, 2);
    known.clear();
    expect(known.get('a')).toBeUndefined();
    known.set('b', 2, 2);
    expect(known.get('b')).toBe(2);
  });
});

import { describe, expect, test } from 'vitest';
import { measured } from '../../kernel-lib/quantity/measured';
import { nm } from '../../kernel-lib/quantity/si';
import { unit } from '../../kernel-lib/quantity/unit';
import { judge } from '../../kernel-lib/questions/judge';
import type { ListQuestion } from '../../kernel-lib/questions/kinds/list';
import type { NumberQuestion } from '../../kernel-lib/questions/kinds/number';

/** Edges of tolerances and uncertainties, and that a verdict always carries what was read. */
const number: NumberQuestion<object> = {
  kind: 'number',
  id: '6.1',
  asks: 'Wavelength',
  marks: 2,
  unit: 'nm',
  expected: () => nm(500),
  tolerance: { uncertainties: 2 },
  uncertainty: () => nm(0.5),
  slips: [],
};
const list: ListQuestion<object> = {
  kind: 'list',
  id: '6.2',
  asks: 'Lines',
  marks: 2,
  unit: 'nm',
  expected: () => [nm(500), nm(600)],
  tolerance: { uncertainties: 2 },
  uncertainty: () => [nm(0.5), nm(0.5)],
  slips: [],
};
describe('an uncertainty counts from half to twice the sound one, both included', () => {
  test.each([
    [0.24, 'not yet'],
    [0.25, 'agrees'],
    [0.5, 'agrees'],
    [1, 'agrees'],
    [1.01, 'not yet'],
  ])('u = %f nm: %s', (u, state) => {
    expect(judge(number, {}, measured(500, u))).toMatchObject({
      state,
      shown: expect.stringMatching(/^500\.\d+\(\d+\) nm$|^500\(1\) nm$|^500\.0\(1\.0\) nm$/),
    });
    const both = judge(list, {}, [measured(500, 0.5), measured(600, u)]);
    expect(both.state).toBe(state);
    expect(both.shown).toMatch(/^500\.\d+\(\d+\) nm, 600/);
  });

  test('without a sound one every positive u does, and none is looked at where none is stated', () => {
    const { uncertainty, ...free } = number;
    expect(uncertainty).toBeDefined();
    expect(judge(free, {}, measured(500, 1e-3)).state).toBe('agrees');
    expect(judge(free, {}, measured(500, 100)).state).toBe('agrees');
    const relative = { ...number, tolerance: { relative: 0.01 } };
    expect(judge(relative, {}, 500).state).toBe('agrees');
    expect(judge({ ...list, tolerance: { relative: 0.01 } }, {}, [500, 600]).state).toBe('agrees');
  });

  test('an item of a list without its uncertainty is asked for it', () => {
    const verdict = judge(list, {}, [measured(500, 0.5), 600]);
    expect(verdict).toMatchObject({ state: 'not yet', marks: 0 });
    expect(verdict.message).toMatch(/without an uncertainty/);
    expect(verdict.shown).toMatch(/500.* nm, 600 nm/);
    expect(judge(number, {}, 500).shown).toBe('500 nm');
  });

  test('nothing is said about an uncertainty that was asked for', () => {
    expect(judge(number, {}, measured(500, 0.5)).message).not.toMatch(/not asked for/);
  });
});

describe('slips', () => {
  const relative = { relative: 0.01 };
  const zero = { name: 'nothing', value: () => 0, hint: 'Nothing is left.' };

  test('where the slip is 0, near means near on the scale of the answer', () => {
    const question = { ...number, tolerance: relative, slips: [zero] };
    expect(judge(question, {}, 4)).toMatchObject({ slip: 'nothing', shown: '4 nm' });
    expect(judge(question, {}, 6)).not.toHaveProperty('slip');
  });

  test('otherwise near means near on the scale of the slip', () => {
    const tenth = { name: 'tenth', value: () => nm(50), hint: 'A tenth.' };
    const question = { ...number, tolerance: relative, slips: [tenth] };
    expect(judge(question, {}, 50.4)).toMatchObject({ slip: 'tenth' });
    expect(judge(question, {}, 51)).not.toHaveProperty('slip');
  });

  test('a list is a slip when all of it is, and as long', () => {
    const wrong = { name: 'wrong', value: () => [nm(300), nm(400)], hint: 'Wrong line.' };
    const short = { name: 'short', value: () => [nm(300)], hint: 'One is missing.' };
    const question = { ...list, tolerance: relative, slips: [short, wrong] };
    expect(judge(question, {}, [300, 400])).toMatchObject({
      slip: 'wrong',
      shown: '300 nm, 400 nm',
    });
    expect(judge(question, {}, [300, 410])).not.toHaveProperty('slip');
    expect(judge(question, {}, [310, 400])).not.toHaveProperty('slip');
    expect(judge(question, {}, [310, 410]).shown).toBe('310 nm, 410 nm');
  });
});

test('lists without a stated length are read whole, whatever they hold', () => {
  const sealed = {
    kind: 'sealed',
    id: '6.4',
    asks: 'All lines',
    marks: 1,
    answer: 'list',
    unit: 'nm',
  } as const;
  expect(judge(sealed, {}, [1, 2, unit('3 nm')]).shown).toBe('1 nm, 2 nm, 3 nm');
  expect(judge(sealed, {}, [])).toMatchObject({ state: 'recorded', shown: '' });
  expect(judge(sealed, {}, 5).message).toMatch(/A list of numbers is asked for, in nm, as in/);
});

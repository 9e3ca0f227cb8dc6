import { describe, expect, test } from 'vitest';
import { textLimit } from '../../kernel-lib/cells/run/output';
import { withMessage } from '../../kernel-lib/page/sheet/outputs';
import { foldText, LONGEST_STREAM } from '../../kernel-lib/page/text/printed-text';

const lines = (count: number) =>
  Array.from({ length: count }, (_, i) => `line ${i + 1}\n`).join('');

describe('printed text', () => {
  test('is shown whole while it is short, a few lines over the fold included', () => {
    const folded = foldText(lines(30), false);
    expect(folded).toMatchObject({ long: false, lines: 30, leftOut: '', rest: '' });
    expect(folded.shown.split('\n')).toHaveLength(30);
  });

  test('is folded when it is long, and tells on paper what is not there', () => {
    const folded = foldText(lines(100), false);
    expect(folded.shown.endsWith('\nline 24')).toBe(true);
    expect(folded).toMatchObject({ long: true, lines: 100, leftOut: '' });
    expect(folded.rest).toBe('… 76 of 100 lines are not shown.');
    expect(foldText(lines(100), true)).toMatchObject({ leftOut: '', rest: '' });
  });

  test('one long line is folded by its letters', () => {
    const folded = foldText('x'.repeat(50_000), false);
    expect(folded.shown).toHaveLength(8000);
    expect(folded.rest).toBe('… 42 000 of 50 000 characters are not shown.');
  });

  test('is capped even when open, and what is left out stays in the file', () => {
    const open = foldText(lines(10_000), true);
    expect(open.shown.split('\n')).toHaveLength(4000);
    expect(open.leftOut).toBe(
      '6 000 of 10 000 lines are left out here; all of them stay in the file.',
    );
  });

  test('all that a cell of our kernel may print stays in the file', () => {
    expect(LONGEST_STREAM).toBeGreaterThan(textLimit + 1000);
  });

  test('a text that was cut before it was saved is not said to stay', () => {
    const [output] = withMessage([], {
      header: { msg_type: 'stream' },
      content: { name: 'stdout', text: 'all work\n'.repeat(100_000) },
    });
    const text = String('text' in output && output.text);
    expect(text.length).toBeLessThan(LONGEST_STREAM + 100);
    const { leftOut } = foldText(text, true);
    expect(leftOut).toMatch(/they stay in the file, but what was printed after 600 000 characters/);
    expect(leftOut).not.toMatch(/all of them/);
  });
});

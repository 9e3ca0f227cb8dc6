import { expect, test } from 'vitest';
import type { Output } from '../../kernel-lib/cells/run/output';
import { nodeSession } from '../../kernel-lib/kernel/node-session';
import { codeCard } from '../../kernel-lib/page/text/code-card';

/** Values by arithmetic: asin 0.3 is 0.30469 rad (numpy.arcsin), 17.4576 degrees; 2π · 2.25 is 14.1372. */
const values: Readonly<Record<string, readonly number[]>> = {
  'angle / degrees(1)': [17.4576],
  'um(94)': [94e-6],
  '2 * Math.PI * 1.5 ** 2': [14.1372],
  'square(3) + Math.sqrt(16)': [13],
  'list[0] + list.length': [3.4],
  'list.map((x) => half(x))': [0.2, 0.25, 0.3],
};

const numbersIn = (text: string) => (text.match(/[\d.]+(?:e-?\d+)?/g) ?? []).map(Number);

test('the card has ten lines, which run in their order and show what it says', async () => {
  expect(codeCard).toHaveLength(10);
  const shown: string[] = [];
  const session = nodeSession({
    onOutput(output: Output) {
      if (output.type === 'execute_result') shown.push(String(output.data['text/plain']));
      else throw new Error(`A line of the card brings forth ${JSON.stringify(output)}`);
    },
  });
  await session.run("import { degrees, um } from 'multislit';");
  for (const { code, shows } of codeCard) {
    shown.length = 0;
    expect(await session.run(code)).toMatchObject({ status: 'ok' });
    expect(shown.length, code).toBe(shows === undefined ? 0 : 1);
    if (shows === undefined) continue;
    const wanted = values[code];
    expect(numbersIn(shown[0])).toHaveLength(wanted.length);
    for (const [n, value] of wanted.entries()) {
      expect(numbersIn(shown[0])[n] / value).toBeCloseTo(1, 5);
      // The card rounds to four digits at least.
      expect(numbersIn(shows)[n] / value).toBeCloseTo(1, 3);
    }
  }
  session.close();
});

import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import * as multislit from '../../kernel-lib/index';
import { planck } from '../../kernel-lib/light/blackbody';
import { cielab } from '../../kernel-lib/light/cielab';
import { colourMatching } from '../../kernel-lib/light/observer';
import { linearSrgb } from '../../kernel-lib/light/srgb';

// Every @example in light/ and camera/ has the form `expression // value`; it is run, and its numbers
// must agree to the digits that are printed.
const home = fileURLToPath(new URL('../../kernel-lib', import.meta.url));
const scope: Record<string, unknown> = { ...multislit, planck, cielab, colourMatching, linearSrgb };

const list = ['light', 'camera'].flatMap((folder) =>
  readdirSync(join(home, folder)).flatMap((file) => {
    const text = readFileSync(join(home, folder, file), 'utf8');
    return [...text.matchAll(/@example (.+?) \/\/ (.+)/g)].map(
      ([, code, value]): [string, string, string] => [file, code, value],
    );
  }),
);

const run = (code: string) =>
  new Function(...Object.keys(scope), `return (${code})`)(...Object.values(scope));

/** Half a unit of the last digit that is printed. */
function halfUnit(printed: string): number {
  const [, decimals = '', exponent = '0'] = /(?:\.(\d+))?(?:e(-?\d+))?$/.exec(printed) ?? [];
  return 0.5 * 10 ** (Number(exponent) - decimals.length);
}

test('there are examples', () => {
  expect(list.length).toBeGreaterThan(15);
});

test.each(list)('%s: %s is %s', (_, code, value) => {
  const [found, printed] = [run(code), run(value)];
  const numbers = value.match(/-?\d[\d.]*(?:e-?\d+)?/g);
  if (!numbers) {
    expect(found).toEqual(printed);
    return;
  }
  const values: number[] = [found].flat();
  expect(values).toHaveLength(numbers.length);
  numbers.forEach((number, i) => {
    const slack = Number.isInteger(values[i]) ? 0 : halfUnit(number) * 1.000001;
    expect(Math.abs(values[i] - Number(number))).toBeLessThanOrEqual(slack);
  });
});

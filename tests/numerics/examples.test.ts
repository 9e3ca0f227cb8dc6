import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import * as multislit from '../../kernel-lib/index';
import * as numerics from './modules';

// Every @example in numerics/ and aperture/ has the form `expression // value` and is run here.
const home = fileURLToPath(new URL('../../kernel-lib', import.meta.url));
const scope: Record<string, unknown> = { ...multislit, ...numerics };

function examples(folder: string): [string, string, string][] {
  return readdirSync(join(home, folder))
    .filter((file) => file.endsWith('.ts'))
    .flatMap((file) => {
      const text = readFileSync(join(home, folder, file), 'utf8');
      return [...text.matchAll(/@example (.+?) \/\/ (.+)/g)].map(
        ([, code, value]): [string, string, string] => [file, code, value],
      );
    });
}

const run = (code: string) =>
  new Function(...Object.keys(scope), `return (${code})`)(...Object.values(scope));

describe.each(['numerics', 'aperture'])('%s', (folder) => {
  const list = examples(folder);

  test('every file that has examples is read', () => {
    expect(list.length).toBeGreaterThan(10);
  });

  test.each(list)('%s: %s is %s', (_, code, value) => {
    const [ours, theirs] = [run(code), run(value)];
    if (typeof theirs === 'number') {
      expect(Math.abs(ours - theirs)).toBeLessThanOrEqual(1e-12 * Math.max(Math.abs(theirs), 1e-9));
    } else expect(ours).toEqual(theirs);
  });
});

import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import type { AnyKey } from '../../kernel-lib/questions/sheet';
import parallelBeam from '../../worksheets/01-a-parallel-beam/key';
import oneSlit from '../../worksheets/02-one-slit/key';
import twoSlits from '../../worksheets/03-two-slits/key';
import moreSlits from '../../worksheets/04-three-and-four-slits/key';
import spectrometer from '../../worksheets/06-reading-the-spectrometer/key';
import ownPattern from '../../worksheets/07-your-own-pattern/key';

const keys: AnyKey[] = [parallelBeam, oneSlit, twoSlits, moreSlits, spectrometer, ownPattern];

test.each(keys.map((key) => [key.sheet.name, key] as const))(
  '%s: every answer that can be judged by value is recomputed, apart from the sheet’s own files',
  (name, key) => {
    const file = fileURLToPath(
      new URL(`./worksheet-${name.slice(0, 2)}-answers.test.ts`, import.meta.url),
    );
    expect(existsSync(file)).toBe(true);
    const text = readFileSync(file, 'utf8');
    const asked = key.sheet.questions.filter(({ kind }) => kind !== 'written');
    const handedIn = asked.filter(({ id }) =>
      new RegExp(`(expectJudged\\(\\s*desk,|desk\\.agrees\\()\\s*'${id.replace('.', '\\.')}'`).test(
        text,
      ),
    );
    expect(handedIn.map(({ id }) => id)).toEqual(asked.map(({ id }) => id));
    // From the sheet it takes the key, to hand answers in, and nothing else.
    const taken = [...text.matchAll(/from '(\.\.\/\.\.\/worksheets\/[^']+)'/g)].map(
      ([, from]) => from,
    );
    expect(taken).toEqual([`../../worksheets/${name}/key`]);
    expect(text).not.toMatch(/key\.(sheet|sealed|model)|\.expected\(/);
  },
);

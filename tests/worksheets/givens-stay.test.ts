import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { givensFor } from '../../kernel-lib/index';
import { names, sheetNamed } from './sheets';

/**
 * What students were given on 27 November 2026: for each hundred of a thousand numbers one SHA-256, two of them readable.
 * A class that has begun a sheet keeps its numbers whatever is changed in the code, so nothing here is ever
 * written anew; a sheet that is added gets lines of its own.
 */
const kept: Record<string, { hundreds: string[]; readable: Record<string, unknown> }> = JSON.parse(
  readFileSync(new URL('./givens.json', import.meta.url), 'utf8'),
);
const hundred = (h: number) =>
  Array.from({ length: 100 }, (_, i) => `${300000 + 7 * (100 * h + i)}`);

/** The photographs of sheet 7 take half a minute: all of them with MULTISLIT_ALL_GIVENS=1, otherwise one hundred. */
const slow = /^07/;
const all = Boolean(process.env.MULTISLIT_ALL_GIVENS);

const sha256 = (text: string) => createHash('sha256').update(text).digest('hex');

/** Plain data with members in the order of their names; numbers keep all their digits, typed arrays become arrays. */
function canonical(value: unknown): unknown {
  if (value === undefined || typeof value === 'function') throw new TypeError('no plain data');
  if (typeof value === 'number' && !Number.isFinite(value)) return String(value);
  if (Array.isArray(value) || ArrayBuffer.isView(value))
    return Array.from(value as ArrayLike<unknown>, canonical);
  if (typeof value !== 'object' || value === null) return value;
  const sorted = Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1));
  return Object.fromEntries(sorted.map(([name, member]) => [name, canonical(member)]));
}

/** The same with a digest in the place of long lists. */
const readable = (value: unknown): unknown =>
  JSON.parse(
    JSON.stringify(value, (_, each) =>
      Array.isArray(each) && each.length > 12
        ? `${each.length} members, ${sha256(JSON.stringify(each))}`
        : each,
    ),
  );

test('the givens of every sheet are kept', () => {
  expect(Object.keys(kept).sort()).toEqual(names);
});

test.each(names)('%s gives each student what it always gave', async (name) => {
  const sheet = await sheetNamed(name);
  // What was added to a sheet since comes behind what is kept, and is left out here.
  const known = Object.keys(Object.values(kept[name].readable)[0] as object);
  const given = (student: string) => {
    const whole = givensFor(sheet, student) as Record<string, unknown>;
    return canonical(Object.fromEntries(known.map((member) => [member, whole[member]])));
  };
  for (const [student, before] of Object.entries(kept[name].readable))
    expect(readable(given(student))).toEqual(before);
  const hundreds = kept[name].hundreds.slice(0, slow.test(name) && !all ? 1 : 10);
  const now = hundreds.map((_, h) =>
    sha256(
      hundred(h)
        .map((student) => `${student} ${JSON.stringify(given(student))}\n`)
        .join(''),
    ),
  );
  expect(now).toEqual(hundreds);
});

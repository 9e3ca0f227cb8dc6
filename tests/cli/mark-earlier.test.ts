import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { MarkRecord } from '../../kernel-lib/marking/record';
import { needs } from '../needs';
import { handIn, machineMarks, oneSlit } from './class-for-test';
import { multislit } from './multislit';

const { skip } = needs('bwrap');
/** Every answer of sheet 2 but the first, which is in radians; saved before cells had the names of today. */
const earlier = readFileSync(new URL('../notebook/earlier-names.ipynb', import.meta.url), 'utf8');

describe.skipIf(skip)('a return on a sheet that was handed out under earlier names', () => {
  let folder: string;
  const at = (...parts: string[]) => join(folder, ...parts);
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'earlier-'));
    handIn(at('returns'), '204117.ipynb', earlier);
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  test('is marked: what agreed then agrees now, and a slip is told as one', async () => {
    const { code, out } = await multislit([
      'mark',
      at('returns'),
      '--to',
      at('marks'),
      '--sheet',
      oneSlit,
    ]);
    expect(code).toBe(0);
    expect(out).toMatch(/^1 returns? marked/);
    const record: MarkRecord = JSON.parse(
      readFileSync(at('marks', 'records', oneSlit, '204117.json'), 'utf8'),
    );
    const states = record.questions.map(({ question, state }) => [question, state]);
    expect(states.filter(([, state]) => state !== 'agrees')).toEqual([
      ['2.1', 'not yet'],
      ['2.9', 'to be read'],
    ]);
    expect(record.questions[0].slip).toBe('radians');
    const [row] = parse(readFileSync(at('marks', 'marks.csv'), 'utf8'), {
      columns: true,
    }) as Record<string, string>[];
    expect(Number(row[oneSlit])).toBe(machineMarks(oneSlit) - 2);
    expect(record.written['2.9']).toMatch(/^A narrower slit gives a wider band/);
  });
});

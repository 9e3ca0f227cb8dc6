import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { gatherReturns } from '../../kernel-lib/marker/gather-returns';
import { sheetsToMark } from '../../kernel-lib/marker/sheets-to-mark';
import { chooseReturns } from '../../kernel-lib/marking/choose';
import { csvLines } from '../../kernel-lib/marking/csv';
import type { MarkRecord } from '../../kernel-lib/marking/record';
import { returnsTable } from '../../kernel-lib/marking/report/tables';
import { seeded } from '../../kernel-lib/numerics/random';
import { modelReturn, oneSlit } from '../cli/class-for-test';
import { damaged } from './damaged';

const files = Number(process.env.MULTISLIT_DAMAGED_FILES ?? 400);
const atOnce = 400;
const roster = new Set(Array.from({ length: 200 }, (_, i) => String(2000 + i)));

/** `MULTISLIT_DAMAGED_FILES=100000 npm test -- tests/hostile/damaged-files.test.ts` damages so many. */
test(`${files} damaged files end each in a row, and none ends the run`, () => {
  const sheets = sheetsToMark([oneSlit]);
  const texts = ['2001', '2002', '000000'].map((student) => {
    const { cells, ...rest } = modelReturn(oneSlit, student);
    // Half of the sheet is enough to be known, and makes many more files in the same time.
    return JSON.stringify({ ...rest, cells: cells.filter((_, i) => i % 2 === 1 || i < 6) });
  });
  const outcomes = new Map<string, number>();
  for (let first = 0; first < files; first += atOnce) {
    const folder = mkdtempSync(join(tmpdir(), 'damaged-'));
    try {
      mkdirSync(join(folder, 'returns'));
      const names: string[] = [];
      for (let i = first; i < Math.min(files, first + atOnce); i++) {
        const random = seeded(`damaged file/${i}`);
        const name = `file-${i}-.ipynb`;
        writeFileSync(join(folder, 'returns', name), damaged(texts[i % 3], random));
        names.push(name);
      }
      const rules = { table: [], zone: 'UTC', now: Date.now(), sheets, roster };
      const { found, notMarked } = gatherReturns(join(folder, 'returns'), rules);
      const { counted, passedOver } = chooseReturns(found);
      const records = counted.map((one) => ({ ...one, questions: [] }) as unknown as MarkRecord);
      const left = notMarked.filter(({ reason }) => reason === 'left by a system');
      const rows = [...returnsTable(records, notMarked, passedOver, new Map(), 'UTC')].slice(1);
      const told = new Set(rows.map(([path]) => /^file-\d+-\.ipynb/.exec(String(path))?.[0]));
      expect(left.length).toBeLessThan(2);
      const untold = names.filter((name) => !told.has(name));
      // A zip of which nothing is left but a file of the system is in that one row with its count.
      expect(untold.length).toBeLessThanOrEqual((left[0]?.count ?? 1) - 1);
      for (const line of csvLines(rows)) expect(line.length).toBeLessThan(5000);
      for (const [, outcome] of rows)
        outcomes.set(String(outcome), (outcomes.get(String(outcome)) ?? 0) + 1);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  }
  if (files > 1000) console.log(Object.fromEntries(outcomes));
  expect([...outcomes.keys()].length).toBeGreaterThan(4);
}, 3_600_000);

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { built } from '../../kernel-lib/kernel/home';
import { sheetNames } from '../../kernel-lib/kernel/sheets';
import { makeClass } from '../cli/made-up-class/make-class';
import { planClass } from '../cli/made-up-class/plan';
import { watchedRun } from './parts/watched-run';

// Time for each return and memory of the marker and its converters, as a class grows: one sheet, two jobs. The
// baseline is the time for each return of the smallest class, so the ratio tells whether large classes cost more.
const sizes = (process.env.SIZES ?? '100,200,500,1000,2000').split(',').map(Number);
const jobs = 2;

export default async function bench() {
  const [, sheet] = sheetNames();
  const rows: { count: number; each: number; peak: number; converter: number }[] = [];
  for (const size of sizes) {
    const folder = mkdtempSync(join(tmpdir(), 'class-growth-'));
    try {
      const places = planClass([sheet], size).map((place) => ({
        ...place,
        kind: 'ordinary' as const,
      }));
      const count = makeClass(join(folder, 'returns'), places).returns.size;
      const args = ['mark', join(folder, 'returns'), '--to', join(folder, 'marks')];
      const ran = await watchedRun(
        process.execPath,
        [built('cli.cjs'), ...args, '--sheet', sheet, '--jobs', String(jobs)],
        { under: 'convert.cjs' },
      );
      rows.push({ count, each: ran.seconds / count, peak: ran.peak, converter: ran.peakUnder });
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  }
  const [first] = rows;
  const last = rows[rows.length - 1];
  const more = (last.peak - first.peak) / Math.max(1, last.count - first.count);
  const note = [
    `${sheet}, ${jobs} jobs, start included: time for each return; largest memory of the marker and of a converter`,
    ...rows.map(
      ({ count, each, peak, converter }) =>
        `${String(count).padStart(5)} returns ${(1e3 * each).toFixed(0).padStart(5)} ms ${peak.toFixed(0).padStart(5)} MB ${converter.toFixed(0).padStart(5)} MB`,
    ),
    `the marker's memory grows by ${(1024 * more).toFixed(1)} kB for each more`,
  ].join('\n');
  const baseline = first.each;
  return {
    name: 'class-growth',
    ours: last.each,
    baseline,
    ratio: baseline / last.each,
    aim: 0.9,
    note,
  };
}

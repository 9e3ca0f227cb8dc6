import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { sheetNames } from '../../kernel-lib/kernel/sheets';
import { needs } from '../needs';
import { compareWithTruth } from './made-up-class/compare';
import { makeClass, rosterText } from './made-up-class/make-class';
import { planClass, samplePlaces } from './made-up-class/plan';
import { dueAt, latePercent } from './made-up-class/truth';
import { multislit } from './multislit';

const { skip } = needs('bwrap');
const isWhole = process.env.MULTISLIT_WHOLE_CLASS !== undefined;
const students = 200;
const sampleSize = 32;

/** 200 students, 7 sheets. `MULTISLIT_WHOLE_CLASS=1` marks all 1400 places, otherwise a sample of them. */
test.skipIf(skip)(
  'a made-up class: every question, return and file comes out as it was made',
  async () => {
    const folder = mkdtempSync(join(tmpdir(), 'made-up-class-'));
    try {
      const all = planClass(sheetNames(), students);
      const truth = makeClass(
        join(folder, 'returns'),
        isWhole ? all : samplePlaces(all, sampleSize),
      );
      writeFileSync(join(folder, 'roster.csv'), rosterText(truth));
      const words = ['mark', join(folder, 'returns'), '--to', join(folder, 'marks')];
      const rules = ['--deadline', new Date(dueAt).toISOString(), '--late', String(latePercent)];
      const { code, err } = await multislit([
        ...words,
        '--roster',
        join(folder, 'roster.csv'),
        ...rules,
      ]);
      expect([code, err.replace(/^\d+ of .*$/gm, '').trim()]).toEqual([0, '']);
      const { differences, ...counts } = compareWithTruth(join(folder, 'marks'), truth);
      if (isWhole) console.log(counts);
      expect(differences).toEqual([]);
      expect(counts.questions).toBeGreaterThan(8 * truth.returns.size - 1);
      expect(truth.aside.size).toBeGreaterThan(8);
      // The comparison itself sees one wrong mark among all.
      const data = JSON.parse(readFileSync(join(folder, 'marks', 'class.json'), 'utf8'));
      data.students.at(-1).sheets[0].questions[0].marks += 1;
      writeFileSync(join(folder, 'marks', 'class.json'), JSON.stringify(data));
      expect(compareWithTruth(join(folder, 'marks'), truth).differences).toHaveLength(1);
    } finally {
      if (!process.env.KEEP) rmSync(folder, { recursive: true, force: true });
    }
  },
  ...(isWhole ? [3_600_000] : []),
);

import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { beforeAll, describe, expect, test } from 'vitest';
import { needs } from '../needs';
import { handIn, machineMarks, modelReturn, oneSlit } from './class-for-test';
import { markingStage } from './marking-stage';

const { skip } = needs('bwrap');
/** 2.2 works on from 2.1, so it is wrong as well. */
const lost = machineMarks(oneSlit) - 4;

const { at, mark: run, text, classData } = markingStage('mark-by-hand-', '--sheet', oneSlit);
const table = () => at('marks', 'changed-marks.csv');
const total = () => classData().students[0].total;

beforeAll(async () => {
  const wrong = { '2-1-work': 'const firstDarkLine = given.wavelength / given.width;' };
  handIn(at('returns'), '1001.ipynb', modelReturn(oneSlit, '1001', wrong));
  if (!skip) await run();
});

describe.skipIf(skip)('a mark changed by hand', () => {
  const line = `1001,${oneSlit},2.1,2,"In radians, and said so."\n`;

  test('the first run begins the table', () => {
    expect(readFileSync(table(), 'utf8')).toBe('\ufeffstudent,sheet,question,marks,reason\n');
    expect(total()).toBe(lost);
  });

  test('a line that cannot be used is told before anything is written', async () => {
    const before = readdirSync(at('marks'), { recursive: true }).sort();
    const json = text('class.json');
    writeFileSync(
      table(),
      `student,sheet,question,marks,reason\n1001,${oneSlit},2.1,3,So.\n1001,${oneSlit},2.2,1,\n`,
    );
    const { code, out, err } = await run();
    expect([code, out]).toEqual([1, '']);
    expect(err).toMatch(
      /changed-marks\.csv: Line 2 has "3" as marks for 2\.1; .* 0 to 2.*\n.*Line 3 gives no reason/,
    );
    expect(text('class.json')).toBe(json);
    expect(readdirSync(at('marks'), { recursive: true }).sort()).toEqual(before);
    expect(text('changed-marks.csv')).toContain('2.1,3,So.');
  });

  test('counts, is told everywhere, and the table is never written over', async () => {
    const entered = `student,sheet,question,marks,reason\n${line}`;
    writeFileSync(table(), entered);
    for (let n = 0; n < 2; n++) {
      const { code, out } = await run();
      expect(code).toBe(0);
      expect(out).toMatch(/1 stood from before/);
      expect(total()).toBe(lost + 2);
      expect(readFileSync(table(), 'utf8')).toBe(entered);
    }
    for (const file of ['students/1001.html', `students/1001/${oneSlit}.ipynb`, 'marks.csv'])
      expect(text(...file.split('/'))).toMatch(/person from 0 to 2: In radians, and said so\./);
    expect(text('class.html')).toMatch(/In radians, and said so\./);
    const mark = classData().students[0].sheets[0].questions[0];
    expect(mark).toMatchObject({ marks: 2, changed: { from: 0 }, slip: expect.any(String) });
  });

  test('stays when all is marked anew, and leaves no trace when the line is taken out', async () => {
    rmSync(at('marks', 'records'), { recursive: true });
    await run();
    expect(total()).toBe(lost + 2);
    expect(text('records', oneSlit, '1001.json')).not.toContain('In radians');
    writeFileSync(table(), 'student,sheet,question,marks,reason\n');
    await run();
    expect(total()).toBe(lost);
    expect(text('students', '1001', `${oneSlit}.ipynb`)).not.toContain('In radians');
    expect(existsSync(table())).toBe(true);
  });
});

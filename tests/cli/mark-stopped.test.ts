import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { readRecord } from '../../kernel-lib/marking/record';
import { handIn, modelReturn, oneSlit } from './class-for-test';
import { type Ended, multislit } from './multislit';

let folder: string;
const at = (...parts: string[]) => join(folder, ...parts);
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'stopped-'));
  const never = (source: string) => ({ '2-1-work': `let firstDarkLine: any = 1;\n${source}` });
  handIn(at('returns'), '1002.ipynb', modelReturn(oneSlit, '1002', never('for (;;);')));
  const waits = never('await new Promise(() => {});');
  handIn(at('returns'), '1003.ipynb', modelReturn(oneSlit, '1003', waits));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const mark = (cellSeconds: number): Promise<Ended> => {
  const words = ['mark', at('returns'), '--to', at('marks'), '--sheet', oneSlit, '--unconfined'];
  return multislit([...words, '--cell-seconds', String(cellSeconds)]);
};
const timesOf = (student: string) =>
  readRecord(readFileSync(at('marks', 'records', oneSlit, `${student}.json`), 'utf8'))?.stopped
    ?.times;
const stood = ({ out }: Ended) => Number(/\((\d+) stood from before\)/.exec(out)?.[1]);

test('what waited runs once more alone and is told; what was stopped twice is not run a third time', async () => {
  const first = await mark(1.5);
  expect([first.code, stood(first)]).toEqual([0, 0]);
  expect(first.out).toMatch(
    /returns? stopped for (?:the|their) time, run again[^\n]*stopped again:\n[^:]*1003\.ipynb/,
  );
  // A loop has the processor all the time that it runs, unless this machine is busy with other things.
  expect(timesOf('1003')).toBe(2);
  expect([1, 2]).toContain(timesOf('1002'));
  const second = await mark(1.5);
  expect(timesOf('1002')).toBe(2);
  const third = await mark(1.5);
  expect([stood(second) >= 1, stood(third)]).toEqual([true, 2]);
  // With more time it may come to an end.
  const longer = await mark(2);
  expect([stood(longer), timesOf('1003')]).toEqual([0, 2]);
});

import { beforeAll, expect, test } from 'vitest';
import { readRecord } from '../../kernel-lib/marking/record';
import { handIn, modelReturn, oneSlit } from './class-for-test';
import { markingStage } from './marking-stage';
import type { Ended } from './multislit';

const stage = markingStage('stopped-', '--sheet', oneSlit, '--unconfined');
const { at, text } = stage;
beforeAll(() => {
  const never = (source: string) => ({ '2-1-work': `let firstDarkLine: any = 1;\n${source}` });
  handIn(at('returns'), '1002.ipynb', modelReturn(oneSlit, '1002', never('for (;;);')));
  const waits = never('await new Promise(() => {});');
  handIn(at('returns'), '1003.ipynb', modelReturn(oneSlit, '1003', waits));
});

const mark = (cellSeconds: number) => stage.mark('--cell-seconds', String(cellSeconds));
const timesOf = (student: string) =>
  readRecord(text('records', oneSlit, `${student}.json`))?.stopped?.times;
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

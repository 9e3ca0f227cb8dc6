import { describe, expect, test } from 'vitest';
import { readRun } from '../../kernel-lib/marking/run-report';

const end = (more: object) => ({ at: 'end', answers: {}, cells: [], ...more });

describe('reading what an untrusted run says', () => {
  test('answers to the questions asked, and no others', () => {
    const line = end({ answers: { '2.1': { is: 'number', value: 1 }, '9.9': { is: 'blank' } } });
    const run = readRun(line, ['2.1', '2.2']);
    expect(run).toEqual({ answers: new Map([['2.1', { is: 'number', value: 1 }]]), cells: [] });
  });

  test('nothing is read from prototypes', () => {
    const line = JSON.parse('{"at":"end","answers":{"__proto__":{"2.1":{"is":"blank"}}}}');
    expect(readRun(line, ['2.1', '__proto__', 'constructor', 'toString'])).toMatchObject({
      answers: new Map([['__proto__', { is: 'other' }]]),
    });
    expect(readRun(Object.create(end({})), [])).toBeUndefined();
  });

  test.each([null, 7, 'end', [], {}, { at: 'END' }, { at: 3 }, [['at', 'end']]])(
    '%j is nothing',
    (line) => expect(readRun(line, [])).toBeUndefined(),
  );

  test('cells are cut and cleaned', () => {
    const cell = {
      id: 'a\u0000b',
      outputs: [{ is: 'printed', name: 'stdout', text: 'x'.repeat(5000) }],
      error: { name: 7, message: '\u001b[2Jgone', line: -1, column: 1e300 },
    };
    const run = readRun(end({ cells: [cell, null, 3, ...Array(1000).fill({})] }), []);
    if (!run || !('cells' in run)) throw new Error('no end was read');
    expect(run.cells).toHaveLength(500);
    expect(run.cells[0].id).toBe('a b');
    expect(run.cells[0].outputs?.[0].text).toHaveLength(4000);
    expect(run.cells[0].error).toEqual({ name: 'Error', message: ' [2Jgone' });
  });
});

import { expect, test } from 'vitest';
import { readRunner } from '../../kernel-lib/web/messages';

// What the page takes from the worker that runs students' code: those shapes of web/messages.ts, and nothing else.

const stream = { header: { msg_type: 'stream' }, content: { name: 'stdout', text: 'x' } };
const picture = { header: { msg_type: 'display_data' }, content: { data: {}, metadata: {} } };

test.each([
  { is: 'ready' },
  { is: 'done', run: 3, ended: { ok: true, count: 2 } },
  { is: 'output', run: 3, output: stream },
  { is: 'output', run: 3, output: picture },
  { is: 'asks', run: 1, question: 'How many?' },
  { is: 'completed', asked: 4, found: { from: 2, matches: ['slits'] } },
  { is: 'inspected', asked: 5, text: 'const a: 1' },
])('is read: %j', (word) => {
  expect(readRunner(JSON.stringify(word))).toEqual(word);
});

test('what nobody asked for is left out', () => {
  const word = { is: 'done', run: 1, ended: { ok: true, count: 1, more: 'x' }, __proto: 1 };
  expect(readRunner(JSON.stringify(word))).toEqual({
    is: 'done',
    run: 1,
    ended: { ok: true, count: 1 },
  });
});

test.each([
  ['an object in the place of text', { is: 'ready' }],
  ['nothing', undefined],
  ['no JSON', 'ready'],
  ['a list', '[{"is":"ready"}]'],
  ['null', 'null'],
  ['what is not known', '{"is":"frame","frame":"failed"}'],
  ['a run without a number', '{"is":"done","run":"1","ended":{"ok":true,"count":1}}'],
  ['an end without an outcome', '{"is":"done","run":1,"ended":{"ok":"yes","count":1}}'],
  ['a count that is none', '{"is":"done","run":1,"ended":{"ok":true,"count":1.5}}'],
  ['a question that is no text', '{"is":"asks","run":1,"question":{"length":1}}'],
  [
    'a message of another kind',
    JSON.stringify({
      is: 'output',
      run: 1,
      output: { ...stream, header: { msg_type: 'comm_open' } },
    }),
  ],
  [
    'a stream of another name',
    JSON.stringify({
      is: 'output',
      run: 1,
      output: { ...stream, content: { name: 'stdin', text: 'x' } },
    }),
  ],
  [
    'text that is none',
    JSON.stringify({
      is: 'output',
      run: 1,
      output: { ...stream, content: { name: 'stdout', text: ['x'] } },
    }),
  ],
  [
    'a picture without data',
    JSON.stringify({
      is: 'output',
      run: 1,
      output: { ...picture, content: { data: 'x', metadata: {} } },
    }),
  ],
  [
    'an error whose lines are none',
    '{"is":"output","run":1,"output":{"header":{"msg_type":"error"},"content":{"ename":"E","evalue":"e","traceback":[1]}}}',
  ],
])('is not read: %s', (_, word) => {
  expect(readRunner(word)).toBeUndefined();
});

test('completions that are no texts find nothing', () => {
  const word = '{"is":"completed","asked":1,"found":{"from":0,"matches":[{"toString":1}]}}';
  expect(readRunner(word)).toEqual({ is: 'completed', asked: 1 });
});

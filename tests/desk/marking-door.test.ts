import { afterAll, beforeAll, expect, test } from 'vitest';
import { type TestDesk, testDesk } from './desk-for-test';

let desk: TestDesk;

beforeAll(async () => {
  desk = await testDesk();
});
afterAll(() => desk.end());

test('a desk that was not started for an instructor has no marking, and says nothing of it', async () => {
  expect(await (await desk.ask('/desk/sheets')).json()).not.toHaveProperty('marking');
  for (const path of ['/marking', '/marking/', '/marking/page/app.js', '/marking/ask/start'])
    expect([path, (await desk.ask(path)).status]).toEqual([path, 404]);
});

import { expect, test } from 'vitest';
import { startLineProcess } from '../../kernel-lib/confined/line-process';

test('a line that comes in many pieces is heard whole', async () => {
  const script = `const fs = require('fs');
    const text = JSON.stringify('x'.repeat(900000)) + '\\n';
    fs.writeSync(3, '1\\n');
    process.stdin.on('data', () => { for (let at = 0; at < text.length; at += 1000) fs.writeSync(3, text.slice(at, at + 1000)); });`;
  const child = startLineProcess(process.execPath, ['-e', script], {}, 3, 2_000_000);
  expect(await child.next(60_000)).toEqual({ line: 1 });
  child.send('go');
  const heard = await child.next(60_000);
  expect('line' in heard && String(heard.line).length).toBe(900_000);
  child.kill();
  expect(await child.next(60_000)).toEqual({ none: 'ended' });
});

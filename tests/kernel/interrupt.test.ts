import { describe, expect, test } from 'vitest';
import { sharedKernel, startKernel } from './kernel';
import { rows } from './rows';

// Row 4 of the kernel's table: whatever runs stops, the kernel and its variables stay.
// That it stops within a second is a timing: tests/bench/interrupt.ts measures it.

const kernel = sharedKernel(
  'let n = 0; const pause = (ms: number) => new Promise<void>((done) => setTimeout(done, ms)); const turns = async (ms: number) => { for (let i = 0; i < 5; i++) await pause(ms); }; import cp from "child_process";',
);

/** Resolves when something is printed next. */
function printed(): Promise<void> {
  return new Promise((done) => {
    const stop = kernel.process.onMessage(({ header }) => {
      if (header.msg_type !== 'stream') return;
      stop();
      done();
    });
  });
}

/** Run a cell and wait until its code is at work. */
async function start(code: string, more: Record<string, unknown> = {}) {
  const begun = printed();
  const running = kernel.run(`console.log('begun');\n${code}`, more);
  await begun;
  return { running };
}

const interrupt = () => kernel.request('interrupt_request', {}, 'control');

describe('a cell stops', () => {
  test.each(
    rows(`
    a loop ¦ while (true) n++;
    a loop that catches everything ¦ for (;;) { try { while (true) n++; } catch {} }
    a loop after a wait ¦ await pause(1); while (true) n++;
    a loop after a wait for nothing ¦ await 0; for (;;) n++;
    a program that is waited for ¦ cp.execSync('sleep 60');
    a program with programs of its own ¦ cp.execSync('sleep 60 | sleep 60; sleep 60');
    a program that is waited for again and again ¦ for (;;) { try { cp.execSync('sleep 60'); } catch {} }
    a loop that waits ¦ while (true) { await pause(2); n++; }
    a loop that waits for nothing ¦ while (true) { await null; n++; }
    a loop that waits and catches ¦ for (;;) { try { await pause(2); n++; } catch { n++; await pause(2); } }
    a loop that catches every wait ¦ for (;;) { try { await pause(2); } catch {} }
    a loop once a wait was caught ¦ try { await pause(60000); } catch { for (;;) n++; }
    a loop in a promise’s callback ¦ await Promise.resolve().then(() => { while (true) n++; });
    a loop in a timer, waited for ¦ await new Promise(() => setTimeout(() => { for (;;) n++; }, 1));
    a loop in a getter of the last value ¦ ({ get a() { for (;;) n++; } }).a
    a wait for what never comes ¦ n++; await new Promise(() => {});
    a loop in an earlier cell’s function ¦ spin()
    a slow regular expression ¦ /^(a+)+$/.test('a'.repeat(40) + 'b')
  `),
  )('%s', async (_name, code) => {
    await kernel.run('function spin() { for (;;) n++; }');
    const { running } = await start(code);
    expect((await interrupt()).reply).toEqual({ status: 'ok' });
    const { reply, messages, states } = await running;
    expect(reply).toMatchObject({ status: 'error', ename: 'Interrupted' });
    expect(messages.filter(({ header }) => header.msg_type === 'error')).toHaveLength(1);
    expect(states).toEqual(['busy', 'idle']);
    expect(await kernel.text('typeof n')).toBe("'number'");
  });
});

describe('after the end of the cell', () => {
  test.each([
    ['a loop in a timer', "setTimeout(() => { console.log('begun'); for (;;) n++; }, 10);"],
    ['loops in an interval', "setInterval(() => { console.log('begun'); for (;;) n++; }, 10);"],
    [
      'a loop after a wait that no one waits for',
      "(async () => { await pause(10); console.log('begun'); for (;;) n++; })();",
    ],
  ])('%s stops', async (_name, code) => {
    const begun = printed();
    expect((await kernel.run(code)).reply.status).toBe('ok');
    await begun;
    expect((await interrupt()).reply).toEqual({ status: 'ok' });
    expect(await kernel.text('"alive"')).toBe("'alive'");
    // A timer of 10 ms that had gone on would have come between these.
    expect(await kernel.text('await turns(10); "still alive"')).toBe("'still alive'");
  });

  test('what a stopped cell started goes no further', async () => {
    const counted = printed();
    const running = kernel.run(
      'n = 0; setInterval(() => { n++; if (n === 3) console.log(n); }, 2); while (true) { await pause(2); }',
    );
    await counted;
    await interrupt();
    await running;
    const first = await kernel.text('n');
    expect(Number(first)).toBeGreaterThan(2);
    expect(await kernel.text('await turns(2); n')).toBe(first);
  });
});

describe('nothing runs', () => {
  test('an interrupt does nothing, and the next cell runs', async () => {
    expect((await interrupt()).reply).toEqual({ status: 'ok' });
    expect(await kernel.text('1 + 1')).toBe('2');
  });

  test('only the running cell stops, a waiting one is dropped or runs as its sender asked', async () => {
    const { running } = await start('for (;;) n++;', { stop_on_error: false });
    const waiting = kernel.run('"ran after"');
    await interrupt();
    expect((await running).reply.ename).toBe('Interrupted');
    expect((await waiting).reply.status).toBe('ok');
  });
});

test('a kernel in a loop shuts down', async () => {
  const own = await startKernel();
  const gone = new Promise((done) => own.process.onExit(done));
  const message = own.process.compose('execute_request', { code: 'console.log(1); for (;;) {}' });
  const begun = own.next('stream', message.header.msg_id);
  own.process.send('shell', message);
  await begun;
  await own.stop();
  await gone;
});

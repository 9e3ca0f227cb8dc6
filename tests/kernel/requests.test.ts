import { describe, expect, test } from 'vitest';
import { ask, sharedKernel, startKernel, textOf } from './kernel';

// Rows 7 and 11 of the kernel's table, and the rest of what clients ask.

const kernel = sharedKernel();

describe('requests behind a failed cell', () => {
  const fail = "await new Promise((done) => setTimeout(done, 30)); throw new Error('x');";

  test('are dropped when the cell’s sender asks for it, as is the default', async () => {
    const failed = kernel.run(fail);
    const [second, third] = [kernel.run('1'), kernel.request('kernel_info_request', {})];
    expect((await failed).reply.status).toBe('error');
    expect((await second).reply).toMatchObject({ status: 'aborted' });
    expect((await second).states).toEqual(['busy', 'idle']);
    expect((await third).reply.status).toBe('ok');
  });

  test('are dropped too when the cell never paused', async () => {
    const failed = kernel.run(
      'const until = Date.now() + 100; while (Date.now() < until) {} throw 1;',
    );
    const second = kernel.run('1');
    await failed;
    expect((await second).reply.status).toBe('aborted');
  });

  test('run when it asks for that', async () => {
    const failed = kernel.run(fail, { stop_on_error: false });
    const second = kernel.run('"ran"');
    expect((await failed).reply.status).toBe('error');
    expect(textOf((await second).messages)).toBe("'ran'");
  });

  test('run when they are sent just after the error was seen', async () => {
    const message = kernel.process.compose('execute_request', { code: fail });
    const seen = kernel.next('error', message.header.msg_id);
    kernel.process.send('shell', message);
    await seen;
    expect((await kernel.run('"ran"')).reply.status).toBe('ok');
  });
});

describe('execute_request', () => {
  test('counts, shows its input first, and says busy and idle', async () => {
    const first = await kernel.run('1');
    const second = await kernel.run('const counted = 2;');
    expect(second.reply.execution_count).toBe((first.reply.execution_count as number) + 1);
    expect(second.messages[0].content).toEqual({
      code: 'const counted = 2;',
      execution_count: second.reply.execution_count,
    });
    expect(second.states).toEqual(['busy', 'idle']);
    expect(second.reply).toMatchObject({ status: 'ok', payload: [], user_expressions: {} });
  });

  test('silent ones show nothing and do not count, but run', async () => {
    const before = (await kernel.run('1')).reply.execution_count as number;
    const { messages } = await kernel.run("let quiet = 3; console.log('x'); quiet", {
      silent: true,
    });
    expect(messages).toEqual([]);
    const after = await kernel.run('quiet', { store_history: false });
    expect(textOf(after.messages)).toBe('3');
    expect((await kernel.run('quiet')).reply.execution_count).toBe(before + 1);
  });

  test('user_expressions are answered one by one', async () => {
    const { reply } = await kernel.run('const ux = 6;', {
      user_expressions: { good: 'ux * 7', bad: 'nothing()' },
    });
    expect(reply.user_expressions).toMatchObject({
      good: { status: 'ok', data: { 'text/plain': '42' } },
      bad: { status: 'error', ename: 'TypeScriptError' },
    });
  });

  test('a request without a cell gets an answer that says so', async () => {
    const { reply } = await kernel.request('execute_request', { code: 5 });
    expect(reply).toMatchObject({ status: 'error', ename: 'TypeError' });
    expect(reply.evalue).toContain('"code"');
  });
});

describe('what a fresh kernel knows before a cell used it', () => {
  const fresh = sharedKernel();

  const complete = async (code: string) => {
    const { reply } = await fresh.request('complete_request', { code, cursor_pos: code.length });
    return reply.matches as string[];
  };
  const inspect = async (code: string, cursor_pos = code.length) => {
    const { reply } = await fresh.request('inspect_request', { code, cursor_pos });
    return reply.found ? (reply.data as Record<string, string>)['text/plain'] : undefined;
  };

  // Names by Node's own documentation, from memory.
  test.each([
    ['cryp', 'crypto'],
    ['Abort', 'AbortController'],
    ['process.ver', 'versions'],
    ['crypto.randomU', 'randomUUID'],
    ["import fs from 'fs'; fs.readF", 'readFileSync'],
    ["import { exists } from 'fs'; exists", 'exists'],
    ["import fs from 'f", 'fs'],
    ["import fs from 'node:f", 'node:fs/promises'],
    ["await import('child", 'child_process'],
    ["import { slits } from 'multi", 'multislit'],
    ['[1].findL', 'findLast'],
  ])('completes %j with %s', async (code, name) => {
    expect(await complete(code)).toContain(name);
  });

  test.each(['__dir', 'modul', 'expor'])(
    'offers nothing for %j that a cell has not',
    async (code) => {
      const names = await complete(code);
      for (const name of ['__dirname', '__filename', 'module', 'exports'])
        expect(names).not.toContain(name);
    },
  );

  test('explains globals and functions of modules', async () => {
    expect(await inspect('AbortController')).toContain('AbortController');
    expect(await inspect("import { readFileSync } from 'fs'; readFileSync")).toContain(
      'readFileSync(',
    );
    expect(await inspect('parseFloat')).toContain('parseFloat(');
    expect(await inspect('parseFloat', 0)).toContain('parseFloat(');
  });

  test('explains the function whose arguments are being written', async () => {
    expect(await inspect('parseInt(')).toContain('parseInt(');
    expect(await inspect("parseInt('7', ")).toContain('radix');
    expect(await inspect('Math.max(1, )', 12)).toContain('Math.max(');
    expect(await inspect('new Map(')).toContain('Map');
    expect(await inspect('Math.max(parseInt()', 18)).toContain('parseInt(');
  });

  test.each(['nothingOfThisName', 'nothingOfThisName(', 'Math.nothingOfThisName', '1 + 1', ''])(
    'finds nothing at %j',
    async (code) => {
      expect(await inspect(code)).toBeUndefined();
    },
  );
});

describe('other requests', () => {
  test('kernel_info, on both channels', async () => {
    for (const channel of ['shell', 'control'] as const) {
      const { reply, states } = await kernel.request('kernel_info_request', {}, channel);
      expect(reply).toMatchObject({
        status: 'ok',
        protocol_version: '5.3',
        implementation: 'multislit',
        language_info: { name: 'typescript', file_extension: '.ts', mimetype: 'text/typescript' },
      });
      expect(states).toEqual(['busy', 'idle']);
    }
  });

  test.each([
    ['1 + 1', { status: 'complete' }],
    ['function f() {\n  return 1;\n}', { status: 'complete' }],
    ['await f()', { status: 'complete' }],
    ['function f() {', { status: 'incomplete', indent: '  ' }],
    ['const a = [1,', { status: 'incomplete' }],
    ['const t = `one', { status: 'incomplete' }],
    ['/* a comment', { status: 'incomplete' }],
    ['const = 3', { status: 'invalid' }],
    ['1 +* 2', { status: 'invalid' }],
    ['f(1))', { status: 'invalid' }],
    ["const s = 'one", { status: 'invalid' }],
  ])('is_complete: %j', async (code, expected) => {
    expect((await kernel.request('is_complete_request', { code })).reply).toMatchObject(expected);
  });

  // By "Messaging in Jupyter", Code completeness: incomplete code may become complete by more lines.
  test.each([
    ['function f() {  ', 'incomplete'],
    ['function f() {\n\n', 'incomplete'],
    ['if (true) {\n  1\n\n\n', 'incomplete'],
    ['const a = [1,  // first\n  ', 'incomplete'],
    ['const a =   \n', 'incomplete'],
    ['1 +', 'incomplete'],
    ['`open \n\n', 'incomplete'],
    ['/* open \n', 'incomplete'],
    ['1   \n\n', 'complete'],
    ['f() // done\n', 'complete'],
    ['', 'complete'],
    ['f())  ', 'invalid'],
    ['const = 1\n\n', 'invalid'],
    ['const = {  ', 'invalid'],
  ])('is_complete with blanks behind: %j is %s', async (code, status) => {
    expect((await kernel.request('is_complete_request', { code })).reply).toMatchObject({ status });
  });

  test('history is empty, and requests that the kernel does not know do no harm', async () => {
    const asked = { hist_access_type: 'tail', n: 5, output: false, raw: true };
    expect((await kernel.request('history_request', asked)).reply).toEqual({
      status: 'ok',
      history: [],
    });
    kernel.process.send('shell', kernel.process.compose('unheard_of_request', {}));
    expect(await kernel.text('1')).toBe('1');
  });

  test('shutdown on the shell channel ends the process, with its answer', async () => {
    const own = await startKernel();
    const gone = new Promise<{ code: number | null }>((done) => own.process.onExit(done));
    const reply = await ask(own.process, 'shell', 'shutdown_request', { restart: true });
    expect(reply.content).toEqual({ status: 'ok', restart: true });
    expect((await gone).code).toBe(0);
    await own.stop();
  });
});

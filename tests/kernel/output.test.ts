import { describe, expect, test } from 'vitest';
import { textLimit } from '../../kernel-lib/cells/run/output';
import { sharedKernel, textOf } from './kernel';

// Rows 6, 10 and 11 of the kernel's table: much output, comm messages, clear_output.

const kernel = sharedKernel();

const types = (messages: { header: { msg_type: string } }[]) =>
  messages.map(({ header }) => header.msg_type).filter((type) => type !== 'execute_input');

describe('printed text', () => {
  test('comes in few messages, in order, each on its stream', async () => {
    const { messages } = await kernel.run(
      "for (let i = 0; i < 1000; i++) console.log(i);\nconsole.error('e');\nconsole.log('end');",
    );
    expect(types(messages).length).toBeLessThan(10);
    expect(textOf(messages)).toBe(
      `${Array.from({ length: 1000 }, (_, i) => i).join('\n')}\ne\nend\n`,
    );
    expect(
      messages.filter(({ content }) => content.name === 'stderr').map((m) => m.content.text),
    ).toEqual(['e\n']);
  });

  test('200 000 lines: capped, said so, and the cell ends', async () => {
    const { messages, reply } = await kernel.run(
      "for (let i = 0; i < 200_000; i++) console.log('line', i); 'done'",
    );
    expect(reply.status).toBe('ok');
    expect(messages.length).toBeLessThan(100);
    const text = textOf(messages);
    expect(text.length).toBeLessThan(textLimit + 300);
    expect(text).toContain('line 0\nline 1\n');
    expect(text).toContain('Output stops here: this cell printed more than 500,000 characters.');
    expect(text.endsWith("'done'")).toBe(true);
    expect(await kernel.text("console.log('the next cell prints again')")).toContain('again');
  });

  test('arrives while a cell never pauses', async () => {
    const running = kernel.run(
      "console.log('first'); const end = Date.now() + 400; while (Date.now() < end) { if (end - Date.now() < 200) console.log('more'); }",
    );
    let replied = false;
    running.then(() => {
      replied = true;
    });
    await new Promise<void>((done) => {
      const stop = kernel.process.onMessage(({ header }) => {
        if (header.msg_type !== 'stream') return;
        stop();
        done();
      });
    });
    expect(replied).toBe(false);
    await running;
  });

  test('after the cell’s end still reaches its cell, also while another runs', async () => {
    const { id } = await kernel.run(
      "let asked = false;\nconst said = new Promise<void>((done) => { const look = setInterval(() => { if (!asked) return; clearInterval(look); console.log('late'); done(); }, 1); });",
    );
    const other = await kernel.run('asked = true; await said;');
    expect((await kernel.next('stream', id)).content.text).toBe('late\n');
    expect(textOf(other.messages)).toBe('');
  });

  test('two cells that wait in turn keep their outputs apart', async () => {
    const printed: { parent: unknown; text: string }[] = [];
    kernel.process.onMessage(({ header, content, parent_header }) => {
      if (header.msg_type === 'stream')
        printed.push({ parent: parent_header.msg_id, text: String(content.text) });
    });
    const { id } = await kernel.run(
      "const all = (async () => { for (let i = 0; i < 5; i++) { await new Promise((done) => setTimeout(done, 10)); console.log('a'); } })();",
    );
    const { messages } = await kernel.run(
      "for (let i = 0; i < 5; i++) { await new Promise((done) => setTimeout(done, 14)); console.log('b'); }",
    );
    expect(textOf(messages)).toBe('b\nb\nb\nb\nb\n');
    await kernel.run('await all;');
    const own = printed.filter(({ parent }) => parent === id).map(({ text }) => text);
    expect(own.join('')).toBe('a\na\na\na\na\n');
  });

  test('by process.stdout, and objects as console shows them', async () => {
    expect(await kernel.text("process.stdout.write('raw'); console.log({ a: [1] }, 'b');")).toBe(
      'raw{ a: [ 1 ] } b\n',
    );
    expect(await kernel.text('console.table([{ n: 1 }])')).toContain('│');
  });

  test('too many figures: capped and said so', async () => {
    const { messages } = await kernel.run(
      "import { asBundle, show } from 'multislit';\nfor (let i = 0; i < 700; i++) show({ [asBundle]: () => ({ 'text/plain': 'f' }) } as any);",
    );
    const shown = messages.filter(({ header }) => header.msg_type === 'display_data').length;
    expect(shown).toBe(500);
    expect(textOf(messages)).toContain('Figures stop here');
  });
});

describe('what others print for a cell', () => {
  const node = 'process.execPath';
  const child = "console.log('out of a child'); console.error('err of a child')";
  test.each([
    [
      'a worker',
      `const { Worker } = await import('worker_threads'); const w = new Worker("console.log('out of a child')", { eval: true }); await new Promise((done) => w.on('exit', done)); 0`,
    ],
    [
      'a child that inherits',
      `const cp = await import('child_process'); await new Promise((done) => cp.spawn(${node}, ['-e', ${JSON.stringify(child)}], { stdio: 'inherit' }).on('close', done)); 0`,
    ],
    [
      'a child given the streams',
      `await new Promise((done) => cp.spawn(${node}, ['-e', ${JSON.stringify(child)}], { stdio: ['ignore', 1, process.stderr] }).on('close', done)); 0`,
    ],
    [
      'a child that is waited for',
      `cp.execFileSync(${node}, ['-e', ${JSON.stringify(child)}], { stdio: 'inherit' }); 0`,
    ],
    [
      'spawnSync',
      `cp.spawnSync(${node}, ['-e', ${JSON.stringify(child)}], { stdio: 'inherit' }); 0`,
    ],
  ])('%s: arrives', async (name, code) => {
    const { messages, reply } = await kernel.run(code);
    expect(reply.status).toBe('ok');
    const streamOf = (stream: string) =>
      messages
        .filter(({ content }) => content.name === stream)
        .map(({ content }) => content.text)
        .join('');
    expect(streamOf('stdout')).toContain('out of a child\n');
    if (name !== 'a worker') expect(streamOf('stderr')).toContain('err of a child\n');
  });

  test('what a cell keeps of a child stays its own', async () => {
    expect(await kernel.text("cp.execSync('echo kept').toString().trim()")).toBe("'kept'");
  });

  test('characters that come in pieces are whole', async () => {
    const code =
      "for (const byte of Buffer.from('λ = 550 nm, 𝜆 → €')) process.stdout.write(Buffer.from([byte]));";
    expect(await kernel.text(code)).toBe('λ = 550 nm, 𝜆 → €');
    expect(await kernel.text("process.stdout.write('zrs=', 'base64'); 0")).toBe('λ0');
  });
});

describe('clear_output', () => {
  test('by console.clear(), in order with what is printed', async () => {
    const { messages } = await kernel.run("console.log('a'); console.clear(); console.log('b');");
    expect(types(messages)).toEqual(['stream', 'clear_output', 'stream']);
    expect(messages[2].content).toEqual({ wait: false });
  });
});

describe('comm messages', () => {
  test('a cell opens a line, the client answers, either side closes', async () => {
    const { messages } = await kernel.run(
      "import { openComm } from 'multislit';\nconst line = openComm('test.line', { start: 1 });\nline.onMessage((data) => { console.log('got', data.value); line.send({ twice: (data.value as number) * 2 }); });\nline.onClose(() => console.log('closed'));",
    );
    const open = messages.find(({ header }) => header.msg_type === 'comm_open')!;
    expect(open.content).toMatchObject({ target_name: 'test.line', data: { start: 1 } });
    const { comm_id } = open.content;
    const info = await kernel.request('comm_info_request', { target_name: 'test.line' });
    expect(info.reply).toEqual({
      status: 'ok',
      comms: { [comm_id as string]: { target_name: 'test.line' } },
    });

    const send = (type: string, content: object) => {
      const message = kernel.process.compose(type, { comm_id, ...content });
      kernel.process.send('shell', message);
      return message.header.msg_id;
    };
    const sent = send('comm_msg', { data: { value: 21 } });
    const [answer, printed] = await Promise.all([
      kernel.next('comm_msg', sent),
      kernel.next('stream', sent),
    ]);
    expect(answer.content).toEqual({ comm_id, data: { twice: 42 } });
    expect(printed.content.text).toBe('got 21\n');
    const closed = send('comm_close', { data: {} });
    expect((await kernel.next('stream', closed)).content.text).toBe('closed\n');
    expect((await kernel.request('comm_info_request', {})).reply.comms).toEqual({});
  });

  test('a client opens a line that a cell accepts, with bytes', async () => {
    await kernel.run(
      "import { acceptComm } from 'multislit';\nacceptComm('test.accept', (line, data) => line.onMessage((d, buffers) => line.send({ sum: buffers[0].reduce((a, b) => a + b, 0), name: data.name }, [new Uint8Array([9])])));",
    );
    const open = kernel.process.compose('comm_open', {
      comm_id: 'c1',
      target_name: 'test.accept',
      data: { name: 'bench' },
    });
    kernel.process.send('shell', open);
    const message = kernel.process.compose('comm_msg', { comm_id: 'c1', data: {} });
    message.buffers = [new Uint8Array([1, 2, 3])];
    kernel.process.send('shell', message);
    const answer = await kernel.next('comm_msg', message.header.msg_id);
    expect(answer.content.data).toEqual({ sum: 6, name: 'bench' });
    expect([...answer.buffers[0]]).toEqual([9]);
  });

  test('reach a cell that waits for them', async () => {
    const waiting = kernel.process.compose('execute_request', {
      code: "const ask = openComm('test.ask'); const got = await new Promise((done) => ask.onMessage((data) => done(data.value))); got",
    });
    const opened = kernel.next('comm_open', waiting.header.msg_id);
    const result = kernel.next('execute_result', waiting.header.msg_id);
    kernel.process.send('shell', waiting);
    const { comm_id } = (await opened).content;
    const answer = kernel.process.compose('comm_msg', { comm_id, data: { value: 1801 } });
    kernel.process.send('shell', answer);
    expect((await result).content.data).toEqual({ 'text/plain': '1801' });
  });

  test('a line to nobody is closed again', async () => {
    const open = kernel.process.compose('comm_open', {
      comm_id: 'c2',
      target_name: 'test.nobody',
      data: {},
    });
    kernel.process.send('shell', open);
    expect((await kernel.next('comm_close', open.header.msg_id)).content.comm_id).toBe('c2');
  });
});

// biome-ignore-all lint/suspicious/noTemplateCurlyInString: sources of cells
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { Notebook } from '../../kernel-lib/notebook/notebook';
import { multislit } from '../cli/multislit';
import { emptyFolder, sharedKernel, textOf } from './kernel';

// What changes below a cell, and what is asked of the reader. By "Messaging in Jupyter": display_data and
// update_display_data with transient.display_id, clear_output with wait, input_request and input_reply.

const kernel = sharedKernel(
  "import { clearOutput, openDisplay, progress, prompt } from 'multislit'; const pause = (ms: number) => new Promise<void>((done) => setTimeout(done, ms));",
);

const plain = (content: Record<string, unknown>) =>
  (content.data as Record<string, string>)['text/plain'];
const idOf = (content: Record<string, unknown>) =>
  (content.transient as { display_id?: string } | undefined)?.display_id;

describe('a display', () => {
  test('is shown once and then changed under the same id', async () => {
    const { messages } = await kernel.run(
      "const place = openDisplay(); place.show('first'); await pause(60); place.show('second'); await pause(60); place.show('third');",
    );
    const shown = messages.filter(({ header }) => /display_data/.test(header.msg_type));
    expect(shown.map(({ header }) => header.msg_type)).toEqual([
      'display_data',
      'update_display_data',
      'update_display_data',
    ]);
    expect(shown.map(({ content }) => plain(content))).toEqual(['first', 'second', 'third']);
    const ids = new Set(shown.map(({ content }) => idOf(content)));
    expect(ids.size).toBe(1);
    expect([...ids][0]).toEqual(expect.any(String));
    const later = await kernel.run("place.show('by a later cell')");
    const update = later.messages.find(({ header }) => header.msg_type === 'update_display_data');
    expect(idOf(update!.content)).toBe([...ids][0]);
  });

  test('sends few of very many changes, and the last one', async () => {
    const { messages } = await kernel.run(
      "const busy = openDisplay(); for (let i = 0; i < 20_000; i++) busy.show(`picture ${i}`); console.log('printed after');",
    );
    const shown = messages.filter(({ header }) => /display_data/.test(header.msg_type));
    expect(shown.length).toBeLessThan(200);
    expect(plain(shown.at(-1)!.content)).toBe('picture 19999');
    expect(textOf(messages)).toBe('printed after\n');
  });

  test('says what it can show', async () => {
    const { reply } = await kernel.run('openDisplay().show(5 as any)');
    expect(reply).toMatchObject({ ename: 'TypeError' });
    expect(reply.evalue).toContain('a figure or a text, but number was given');
  });

  test('clearOutput waits where it is told to', async () => {
    const { messages } = await kernel.run(
      "console.log('a'); clearOutput({ wait: true }); console.log('b'); clearOutput();",
    );
    const clears = messages.filter(({ header }) => header.msg_type === 'clear_output');
    expect(clears.map(({ content }) => content)).toEqual([{ wait: true }, { wait: false }]);
  });
});

describe('progress', () => {
  test('counts a loop that never pauses, with the time left, and says when it is done', async () => {
    const { messages, reply } = await kernel.run(
      'let sum = 0; for (const i of progress(8)) { const until = Date.now() + 60; while (Date.now() < until) {} sum += i; } sum',
    );
    expect(reply.status).toBe('ok');
    const texts = messages
      .filter(({ header }) => /display_data/.test(header.msg_type))
      .map(({ content }) => plain(content));
    expect(texts[0]).toBe('0 of 8');
    expect(texts.slice(1, -1).length).toBeGreaterThan(0);
    for (const text of texts.slice(1, -1)) expect(text).toMatch(/^[1-7] of 8, about .* left$/);
    expect(texts.at(-1)).toMatch(/^8 of 8, done in /);
    expect(textOf(messages)).toBe('28');
  });

  test('goes through a list, and says where it was left', async () => {
    const { messages } = await kernel.run(
      "for (const name of progress(['a', 'b', 'c'])) if (name === 'b') break;",
    );
    const last = messages.filter(({ header }) => /display_data/.test(header.msg_type)).at(-1);
    expect(plain(last!.content)).toMatch(/^1 of 3, stopped after /);
  });
});

describe('prompt', () => {
  /** Run a cell that asks, and answer. */
  async function answering(code: string, answers: string[]) {
    const asked: unknown[] = [];
    const stop = kernel.process.onMessage(({ channel, header, content }) => {
      if (channel !== 'stdin' || header.msg_type !== 'input_request') return;
      asked.push(content);
      const reply = kernel.process.compose('input_reply', { status: 'ok', value: answers.shift() });
      kernel.process.send('stdin', { ...reply, parent_header: header });
    });
    const ran = await kernel.run(code, { allow_stdin: true });
    stop();
    return { ...ran, asked };
  }

  test('asks by the protocol’s own channel and goes on with the answer', async () => {
    const { asked, messages } = await answering(
      "const width = await prompt('Width in µm?'); const spacing = await prompt('Spacing?'); `${width} and ${spacing}`",
      ['40', 'λ'],
    );
    expect(asked).toEqual([
      { prompt: 'Width in µm?', password: false },
      { prompt: 'Spacing?', password: false },
    ]);
    expect(textOf(messages)).toBe("'40 and λ'");
  });

  test('puts one question after the other, also those asked at once', async () => {
    const { asked, messages } = await answering(
      "(await Promise.all([prompt('first'), prompt('second'), prompt('third')])).join(' ')",
      ['a', 'b', 'c'],
    );
    expect(asked.map((one) => (one as { prompt: string }).prompt)).toEqual([
      'first',
      'second',
      'third',
    ]);
    expect(textOf(messages)).toBe("'a b c'");
  });

  test('says so where the front end cannot ask', async () => {
    const { reply } = await kernel.run("await prompt('x')");
    expect(reply.evalue).toContain('nobody can answer here');
  });

  test.each([
    ['can be stopped while it waits', "await prompt('x')"],
    [
      'can be stopped where it is asked until it suits',
      "for (;;) { try { await prompt('x'); } catch {} }",
    ],
  ])('%s, and the next one is asked anew', async (_name, code) => {
    const message = kernel.process.compose('execute_request', { code, allow_stdin: true });
    const asked = new Promise<void>((done) => {
      const stop = kernel.process.onMessage(({ channel }) => {
        if (channel !== 'stdin') return;
        stop();
        done();
      });
    });
    const failed = kernel.next('error', message.header.msg_id);
    kernel.process.send('shell', message);
    await asked;
    await kernel.process.interrupt();
    expect((await failed).content.ename).toBe('Interrupted');
    expect(textOf((await answering("await prompt('y')", ['5'])).messages)).toBe("'5'");
  });
});

test('run keeps what a display shows last, and what came after a clearing that waited', async () => {
  const folder = emptyFolder();
  const file = join(folder.path, 'shown.ipynb');
  const metadata = {
    kernelspec: { name: 'multislit', display_name: 'multislit', language: 'typescript' },
  };
  const cells = [
    "import { clearOutput, openDisplay, progress, prompt } from 'multislit'; const place = openDisplay(); place.show('first');",
    "place.show('last');",
    "console.log('old'); clearOutput({ wait: true }); console.log('new');",
    'for (const i of progress(3)) {}',
    "await prompt('x')",
  ].map((source, n) => ({
    cell_type: 'code',
    id: `c${n}`,
    metadata: {},
    source,
    outputs: [],
    execution_count: null,
  }));
  writeFileSync(file, JSON.stringify({ nbformat: 4, nbformat_minor: 5, metadata, cells }));
  await multislit(['run', file, '--to', join(folder.path, 'ran.ipynb')]);
  const ran = JSON.parse(readFileSync(join(folder.path, 'ran.ipynb'), 'utf8')) as Notebook;
  expect(ran.cells.map((cell) => (cell.cell_type === 'code' ? cell.outputs : []))).toMatchObject([
    [{ output_type: 'display_data', data: { 'text/plain': ['last'] } }],
    [],
    [{ output_type: 'stream', text: ['new\n'] }],
    [{ data: { 'text/plain': [expect.stringMatching(/^3 of 3, done in /)] } }],
    [{ output_type: 'error', evalue: expect.stringContaining('nobody can answer here') }],
  ]);
  folder.remove();
});

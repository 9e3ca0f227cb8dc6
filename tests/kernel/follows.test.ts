import { describe, expect, test } from 'vitest';
import type { KernelMessage } from '../../kernel-lib/kernel/client';
import { sharedKernel, startKernel, type TestKernel } from './kernel';

// What clients that know nothing of the page are told: which cells are older (a note below the cell), and a slider by a
// comm of "Messaging in Jupyter". JupyterLab and VS Code send `cellId` in the metadata of an execute_request,
// JupyterLab also `deletedCells` (both from memory).

const shownBy = (messages: readonly KernelMessage[]) =>
  messages
    .filter(({ header }) => header.msg_type === 'display_data')
    .map(({ content }) => (content.data as Record<string, string>)['text/plain']);

describe('cells that are older', () => {
  const cell = async (kernel: TestKernel, code: string, more: object = { allow_stdin: true }) =>
    shownBy((await kernel.run(code, { ...more })).messages);

  test('are named once they are, and by no client without a person', async () => {
    const kernel = await startKernel();
    try {
      expect(await cell(kernel, 'let w = 4;')).toEqual([]);
      expect(await cell(kernel, 'const area = w * w;')).toEqual([]);
      expect(await cell(kernel, 'area + 1')).toEqual([]);
      expect(await cell(kernel, 'let other = 1;')).toEqual([]);
      // The first cell again, with another number in it.
      expect(await cell(kernel, 'let w = 5;')).toEqual([
        'Computed from older values by now: In [2] and In [3]. Run them again to bring them along.',
      ]);
      // Said once.
      expect(await cell(kernel, 'other + 2')).toEqual([]);
      expect(await cell(kernel, 'const area = w * w;')).toEqual([]);
      expect(await cell(kernel, 'area + 1')).toEqual([]);
      expect(await cell(kernel, 'let other = 2;', {})).toEqual([]);
      // What stands above keeps the value that it was computed from, as it does when all is run from the top.
      expect(await cell(kernel, 'w = 7; area')).toEqual([]);
    } finally {
      await kernel.stop();
    }
  });
});

describe('a check of what a cell does not declare any more', () => {
  const top =
    "import { begin, check } from 'multislit';\nconst given = begin('02-one-slit', '204117');";
  const line = (name: string) =>
    `const ${name} = (Math.asin(given.wavelength / given.width) * 180) / Math.PI;`;

  test('is told, where a client names its cells, and those that were deleted', async () => {
    const kernel = await startKernel();
    try {
      const run = async (cellId: string, code: string, more: object = {}) =>
        shownBy((await kernel.runCell(code, { cellId, ...more })).messages);
      await run('top', top);
      await run('w', line('dark'));
      const answer = "check('2.1', dark);";
      expect(await run('a', answer)).toEqual([expect.stringMatching(/^Agrees\./)]);
      await run('w', line('bright'));
      expect(await run('a', answer)).toEqual([
        expect.stringMatching(/^Not checked: dark is declared by no cell.*“const bright = /),
      ]);
      await run('w', line('dark'));
      expect(await run('a', answer)).toEqual([expect.stringMatching(/^Agrees\./)]);
      expect(await run('a', answer, { deletedCells: ['w'] })).toEqual([
        expect.stringMatching(/^Not checked: dark .*was removed/),
      ]);
      // Deleted, undone and run again.
      await run('w', line('dark'));
      expect(await run('a', answer)).toEqual([expect.stringMatching(/^Agrees\./)]);
    } finally {
      await kernel.stop();
    }
  });

  test('is judged where a client tells nothing of its cells', async () => {
    const kernel = await startKernel();
    try {
      for (const code of [top, line('dark'), line('bright')]) await kernel.run(code);
      const { messages } = await kernel.run("check('2.1', dark);");
      expect(shownBy(messages)).toEqual([expect.stringMatching(/^Agrees\./)]);
    } finally {
      await kernel.stop();
    }
  });
});

describe('a movable value', () => {
  const kernel = sharedKernel(
    "import { movable, um } from 'multislit';",
    "const width = movable('slit width', um(40), { from: um(10), to: um(200) });",
    'const half = () => width / 2;',
    'half() * 1e6',
  );
  /** Tell the kernel something on a comm, as a client does; what it says in return. */
  async function tell(type: string, content: object): Promise<unknown> {
    const message = kernel.process.compose(type, { comm_id: 'c', ...content });
    let heard: unknown;
    const idle = new Promise<void>((done) => {
      const stop = kernel.process.onMessage((one) => {
        if (one.parent_header.msg_id !== message.header.msg_id) return;
        if (one.header.msg_type === 'comm_msg') heard = one.content.data;
        if (one.content.execution_state !== 'idle') return;
        stop();
        done();
      });
    });
    kernel.process.send('shell', message);
    await idle;
    return heard;
  }
  async function move(data: object): Promise<unknown> {
    await tell('comm_open', { target_name: 'multislit.movable', data: {} });
    return tell('comm_msg', { data });
  }

  test('gives its start, shows a slider with its unit, and takes a client’s value', async () => {
    const { messages } = await kernel.run(
      "const spacing = movable('spacing', um(100), { from: um(50), to: um(400) });",
    );
    const [{ content }] = messages.filter(({ header }) => header.msg_type === 'display_data');
    const data = content.data as Record<string, unknown>;
    expect(data['text/plain']).toBe('spacing: 100 µm (movable from 50 to 400 µm)');
    expect(data['application/vnd.multislit.movable+json']).toEqual({
      id: 'spacing',
      label: 'spacing',
      unit: ' µm',
      value: 100,
      start: 100,
      from: 50,
      to: 400,
      step: 2,
    });
    expect(await kernel.text('half() * 1e6')).toBe('20');
    expect(await move({ slider: 'width', value: 60 })).toEqual({
      slider: 'width',
      value: 60,
      said: expect.stringMatching(/^Run In \[3\] and In \[\d+\] to see what follows\.$/),
    });
    expect(await kernel.text('[width * 1e6, half() * 1e6]')).toBe('[ 60, 30 ]');
  });

  test('keeps it when its cell runs again, and begins anew when its text is another', async () => {
    const again = "const width = movable('slit width', um(40), { from: um(10), to: um(200) });";
    await move({ slider: 'width', value: 80 });
    await kernel.run(again);
    expect(await kernel.text('Math.round(width * 1e6)')).toBe('80');
    await kernel.run(again.replace('40', '50'));
    expect(await kernel.text('Math.round(width * 1e6)')).toBe('50');
  });

  test('takes nothing from outside of its range, and nothing that is no slider', async () => {
    expect(await move({ slider: 'width', value: 5 })).toBeUndefined();
    expect(await move({ slider: 'width', value: Number.NaN })).toBeUndefined();
    expect(await move({ slider: 'nobody', value: 50 })).toBeUndefined();
    expect(await move({ slider: 7, value: '50' })).toBeUndefined();
    expect(await kernel.text('Math.round(width * 1e6)')).toBe('50');
  });
});

import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { serialize } from 'node:v8';
import { describe, expect, test } from 'vitest';
import { emitCell } from '../../kernel-lib/cells/convert/emit';
import type { Job } from '../../kernel-lib/confined/job';
import { createStage, openConfinement } from '../../kernel-lib/confined/walls';
import { readRun } from '../../kernel-lib/marking/run-report';
import type { Notebook } from '../../kernel-lib/notebook/notebook';
import { multislit } from '../cli/multislit';
import { hostileCells } from './hostile-values';
import { emptyFolder, sharedKernel, textOf } from './kernel';

// Whatever a cell throws, shows or leaves rejected, it gets an answer and the next cell runs: in the kernel, by
// `run`, and in the marker's child. MULTISLIT_HOSTILE_VALUES=2000 tries more of them.

const count = Number(process.env.MULTISLIT_HOSTILE_VALUES ?? 60);
const cells = hostileCells(count);
const after = '6 * 7';

describe('the kernel', () => {
  const kernel = sharedKernel();

  test(`answers after each of ${count} cells with hostile values`, async () => {
    const said = new Set<unknown>();
    for (const code of cells) {
      const { reply, messages } = await kernel.run(code);
      said.add(reply.status);
      if (reply.status === 'error') {
        expect(reply.ename, code).toEqual(expect.any(String));
        expect(reply.ename, code).not.toBe('TypeScriptError');
        expect(reply.evalue, code).toEqual(expect.any(String));
        expect(String(reply.evalue).length, code).toBeLessThan(30_000);
      }
      expect(JSON.stringify(messages), code).not.toContain('$cells');
      const next = await kernel.run(after);
      expect(textOf(next.messages), code).toContain('42');
    }
    expect([...said].sort()).toEqual(['error', 'ok']);
  });

  test('a value that loops when it is looked at is stopped like a loop', async () => {
    const loops = "() { console.log('begun'); for (;;) {} }";
    for (const code of [
      `Object.defineProperty(new Error('x'), 'message', { get${loops} })`,
      `throw Object.defineProperty(new Error('x'), 'message', { get${loops} })`,
      `({ [Symbol.for('nodejs.util.inspect.custom')]${loops} })`,
    ]) {
      const begun = new Promise<void>((done) => {
        const stop = kernel.process.onMessage(({ header }) => {
          if (header.msg_type !== 'stream') return;
          stop();
          done();
        });
      });
      const running = kernel.run(code);
      await begun;
      await kernel.process.interrupt();
      expect((await running).reply, code).toMatchObject({ status: 'error', ename: 'Interrupted' });
      expect(await kernel.text(after)).toBe('42');
    }
  });
});

test(`run writes what came of ${count} cells with hostile values`, async () => {
  const folder = emptyFolder();
  const file = join(folder.path, 'hostile.ipynb');
  const metadata = {
    kernelspec: { name: 'multislit', display_name: 'multislit', language: 'typescript' },
  };
  const all = [...cells, after].map((source, n) => ({
    cell_type: 'code',
    id: `cell-${n}`,
    metadata: {},
    source,
    outputs: [],
    execution_count: null,
  }));
  writeFileSync(file, JSON.stringify({ nbformat: 4, nbformat_minor: 5, metadata, cells: all }));
  await multislit(['run', file, '--to', join(folder.path, 'ran.ipynb')]);
  const ran = JSON.parse(readFileSync(join(folder.path, 'ran.ipynb'), 'utf8')) as Notebook;
  const last = ran.cells.at(-1);
  expect(last).toMatchObject({ outputs: [{ data: { 'text/plain': ['42'] } }] });
  folder.remove();
});

test(`the marker’s child tells of ${count} cells with hostile values`, async () => {
  const stage = createStage();
  const confinement = await openConfinement(stage);
  const child = confinement.startChild();
  try {
    const emitted = [...cells, after].map((source, n) => {
      const { text, names, modules, isAsync } = emitCell(source, new Set());
      return { id: `cell-${n}`, text, names, modules, isAsync, shows: true };
    });
    const sheet = {
      name: 'none',
      title: '',
      given: serialize({}).toString('base64'),
      questions: [],
    };
    const job: Job = { sheet, student: '1001', cells: emitted, questions: [], cellTime: 2000 };
    child.send(job, true);
    let end: ReturnType<typeof readRun>;
    while (!end || !('answers' in end)) {
      const heard = await child.next(60_000);
      if (!('line' in heard)) throw new Error(`${heard.none}: ${child.complaint}`);
      end = readRun(heard.line, []);
    }
    expect(end.cells.at(-1)).toMatchObject({ outputs: [{ is: 'value', text: '42' }] });
    expect(JSON.stringify(end)).not.toContain('$cells');
  } finally {
    child.kill();
    stage.remove();
  }
});

import { expect, test } from 'vitest';
import { liveVariables } from '../../kernel-lib/cells/convert/emit';
import type { CodeCell } from '../../kernel-lib/notebook/notebook';
import type { Executed, KernelLine, KernelState } from '../../kernel-lib/page/net/host';
import { Runner } from '../../kernel-lib/page/sheet/runner';
import { SheetModel } from '../../kernel-lib/page/sheet/sheet-model';
import { Store } from '../../kernel-lib/page/store';

// Which cells the page has run when a slider moves, told by a kernel that writes down what it is asked.

const sources = {
  a: 'const w = 4;',
  b: 'const area = w * w;',
  c: 'const other = 1;',
  d: 'area + other',
};
type Id = keyof typeof sources;

/** A kernel that notes what it is told; each cell ends when the test says so, or at once. */
class NotingKernel implements KernelLine {
  readonly state = new Store<KernelState>({ kind: 'ready' });
  readonly kernels = new Store(0);
  readonly told: string[] = [];
  /** Called while a cell runs. */
  during: (cell: string) => boolean = () => true;

  async execute(source: string, _out: unknown, _ask: unknown, cell: string): Promise<Executed> {
    this.told.push(cell);
    await Promise.resolve();
    const ok = this.during(cell);
    const known = new Set(['w', 'area', 'other']);
    return { ok, count: this.told.length, names: liveVariables(source, known) };
  }
  async move(slider: string, value: number): Promise<void> {
    this.told.push(`${slider} = ${value}`);
  }
  async open(): Promise<void> {}
  async ran(): Promise<readonly []> {
    return [];
  }
  async complete(): Promise<undefined> {}
  async inspect(): Promise<undefined> {}
  async interrupt(): Promise<void> {}
  async restart(): Promise<void> {}
}

function begin() {
  const cells = Object.entries(sources).map(
    ([id, source]): CodeCell => ({
      cell_type: 'code',
      id,
      source,
      metadata: {},
      execution_count: null,
      outputs: [],
    }),
  );
  const model = new SheetModel({ nbformat: 4, nbformat_minor: 5, metadata: {}, cells });
  const kernel = new NotingKernel();
  const runner = new Runner(model, kernel);
  /** Until nothing runs, waits or moves; what the kernel was told meanwhile. */
  const rest = () =>
    new Promise<string[]>((done) => {
      const look = () => {
        const { running, waiting, moving } = runner.state.value;
        if (running !== undefined || waiting.length > 0 || moving) return;
        stop();
        done(kernel.told.splice(0));
      };
      const stop = runner.state.subscribe(look);
    });
  return { model, kernel, runner, rest };
}

/** All have run once, from the top. */
async function ran() {
  const all = begin();
  all.runner.following.choose(false);
  const resting = all.rest();
  all.runner.runAll();
  expect(await resting).toEqual(['a', 'b', 'c', 'd']);
  return all;
}
const olderOf = ({ runner }: { runner: Runner }) =>
  [...runner.state.value.notes].filter(([, note]) => note.older).map(([id]) => id as Id);

test('the slider’s own cell and what depends on it, in order, and nothing else', async () => {
  const { runner, rest } = await ran();
  const resting = rest();
  runner.move('a', 'w', 5);
  expect(await resting).toEqual(['w = 5', 'a', 'b', 'd']);
});

test('the latest value wins: what came meanwhile is passed over', async () => {
  const { runner, kernel, rest } = await ran();
  kernel.during = (cell) => {
    if (cell !== 'b') return true;
    kernel.during = () => true;
    for (let value = 6; value < 60; value += 1) runner.move('a', 'w', value);
    return true;
  };
  const resting = rest();
  runner.move('a', 'w', 5);
  expect(await resting).toEqual(['w = 5', 'a', 'b', 'd', 'w = 59', 'a', 'b', 'd']);
  expect(olderOf({ runner })).toEqual([]);
});

test('Stop ends it; what was not run is older', async () => {
  const all = await ran();
  all.kernel.during = (cell) => {
    if (cell === 'b') void all.runner.stop();
    return true;
  };
  const resting = all.rest();
  all.runner.move('a', 'w', 5);
  expect(await resting).toEqual(['w = 5', 'a', 'b']);
  expect(olderOf(all)).toEqual(['d']);
});

test('Stop holds for a cell whose turn has come while what was typed is put on the disk', async () => {
  const { model, kernel } = begin();
  let onDisk = () => {};
  const putting = new Promise<void>((done) => {
    onDisk = done;
  });
  const around = { begins: () => putting, ends: async () => {} };
  const runner = new Runner(model, kernel, () => {}, around);
  runner.runCell('a');
  expect(runner.state.value.running).toBe('a');
  await runner.stop();
  const resting = new Promise<void>((done) =>
    runner.state.subscribe(() => runner.state.value.running === undefined && done()),
  );
  onDisk();
  await resting;
  expect(kernel.told).toEqual([]);
  expect(model.code('a')?.outputs).toEqual([expect.objectContaining({ ename: 'Interrupted' })]);
  runner.runCell('a');
  await new Promise<void>((done) =>
    runner.state.subscribe(() => runner.state.value.running === undefined && done()),
  );
  expect(kernel.told).toEqual(['a']);
});

test('the first error ends it, and the next move goes on', async () => {
  const all = await ran();
  all.kernel.during = (cell) => cell !== 'b';
  const resting = all.rest();
  all.runner.move('a', 'w', 5);
  expect(await resting).toEqual(['w = 5', 'a', 'b']);
  expect(all.runner.state.value.stopped).toEqual({ cell: 'b', left: 1 });
  all.kernel.during = () => true;
  const again = all.rest();
  all.runner.move('a', 'w', 6);
  expect(await again).toEqual(['w = 6', 'a', 'b', 'd']);
});

test('run by hand: marked where it is not wanted, brought along where it is', async () => {
  const all = await ran();
  all.model.edit('a', 'const w = 6;');
  const alone = all.rest();
  all.runner.runCell('a');
  expect(await alone).toEqual(['a']);
  expect(olderOf(all)).toEqual(['b', 'd']);
  const once = all.rest();
  all.runner.bringAlong();
  expect(await once).toEqual(['b', 'd']);
  expect(olderOf(all)).toEqual([]);
  all.runner.following.choose(true);
  const wanted = all.rest();
  all.runner.runCell('a');
  expect(await wanted).toEqual(['a', 'b', 'd']);
});

test('a cell that is being written is left alone', async () => {
  const all = await ran();
  all.runner.following.choose(true);
  all.model.edit('d', 'area + oth');
  const wanted = all.rest();
  all.runner.runCell('a');
  expect(await wanted).toEqual(['a', 'b']);
  expect(olderOf(all)).toEqual(['d']);
});

test('asked for while a cell runs, all begins at the top once that has ended, in an error or not', async () => {
  for (const fine of [true, false]) {
    const all = begin();
    all.runner.following.choose(false);
    all.kernel.during = (cell) => {
      if (cell !== 'b') return true;
      all.kernel.during = () => true;
      all.runner.runAll();
      return fine;
    };
    const resting = all.rest();
    for (const id of ['b', 'c']) all.runner.runCell(id);
    expect(await resting).toEqual(['b', 'a', 'b', 'c', 'd']);
    expect(all.runner.state.value.stopped).toBeUndefined();
  }
});

test('asked for while sliders move, all begins at the top, whatever came of the move', async () => {
  const all = await ran();
  all.kernel.during = (cell) => {
    if (cell !== 'b') return true;
    all.kernel.during = () => true;
    all.runner.runAll();
    return false;
  };
  const resting = all.rest();
  all.runner.move('a', 'w', 5);
  expect(await resting).toEqual(['w = 5', 'a', 'b', 'a', 'b', 'c', 'd']);
});

test('Stop drops what was to begin at the top', async () => {
  const all = begin();
  all.kernel.during = () => {
    all.runner.runAll();
    void all.runner.stop();
    return true;
  };
  const resting = all.rest();
  all.runner.runCell('a');
  expect(await resting).toEqual(['a']);
});

test('a cell that was changed while it runs runs once more, before what is below it', async () => {
  const all = begin();
  all.runner.following.choose(false);
  all.kernel.during = () => {
    all.kernel.during = () => true;
    all.runner.runFrom('b');
    all.model.edit('b', 'const area = 2 * w;');
    all.runner.runFrom('b');
    return true;
  };
  const resting = all.rest();
  all.runner.runCell('b');
  expect(await resting).toEqual(['b', 'b', 'c', 'd']);
});

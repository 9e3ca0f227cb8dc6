import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readNames } from '../../kernel-lib/cells/follow';
import { launchKernel } from '../../kernel-lib/kernel/client';
import type { CodeCell } from '../../kernel-lib/notebook/notebook';
import type { Executed, KernelLine, KernelState, Published } from '../../kernel-lib/page/net/host';
import { Runner } from '../../kernel-lib/page/sheet/runner';
import { SheetModel } from '../../kernel-lib/page/sheet/sheet-model';
import { Store } from '../../kernel-lib/page/store';

// From a change to the last dependent shown, in a sheet of 25 cells that compute something, against running all from
// the top: the page's own runner over a kernel's own protocol. Three cells in twenty-five depend on the one that is
// changed, as in the sheets.

const cells = 25;
const work = 'let s = 0; for (let i = 0; i < 200_000; i++) s += Math.sin(i);';
const sources = Array.from({ length: cells }, (_, n) => {
  if (n === 0) return "import { movable, um } from 'multislit';";
  if (n === 8) return "const width = movable('slit width', um(40), { from: um(10), to: um(200) });";
  if (n === 12) return `const half = width / 2; { ${work} } half`;
  if (n === 18) return `const quarter = half / 2; { ${work} } quarter`;
  if (n === 24) return `{ ${work} } Math.round(quarter * 1e7) / 10`;
  return `const own${n} = ${n}; { ${work} } own${n}`;
});

function sheet(): SheetModel {
  const made = sources.map(
    (source, n): CodeCell => ({
      cell_type: 'code',
      id: `c${n}`,
      source,
      metadata: {},
      execution_count: null,
      outputs: [],
    }),
  );
  return new SheetModel({ nbformat: 4, nbformat_minor: 5, metadata: {}, cells: made });
}

/** A kernel as the page knows it, without a desk between. */
async function lineTo(cwd: string): Promise<{ line: KernelLine; close(): Promise<void> }> {
  const kernel = await launchKernel({ cwd });
  const send = (type: string, content: object, metadata = {}) => {
    const message = { ...kernel.compose(type, content as never), metadata };
    kernel.send('shell', message as never);
    return message.header.msg_id;
  };
  const execute = (code: string, onOutput: (message: Published) => void) =>
    new Promise<Executed>((done) => {
      const request = { code, store_history: true, allow_stdin: false };
      const id = send('execute_request', request, { multislit: { follows: true } });
      let reply: Executed | undefined;
      let isIdle = false;
      const stop = kernel.onMessage((one) => {
        if (one.parent_header.msg_id !== id) return;
        const { content, metadata } = one as unknown as {
          content: { status?: string; execution_count?: number; execution_state?: string };
          metadata: { multislit?: { names?: unknown } };
        };
        if (one.channel === 'iopub') onOutput(one as never);
        if (one.header.msg_type === 'execute_reply')
          reply = {
            ok: content.status === 'ok',
            count: content.execution_count ?? null,
            names: readNames(metadata.multislit?.names),
          };
        if (content.execution_state === 'idle') isIdle = true;
        if (!reply || !isIdle) return;
        stop();
        done(reply);
      });
    });
  send('comm_open', { comm_id: 'bench', target_name: 'multislit.movable', data: {} });
  const line: KernelLine = {
    state: new Store<KernelState>({ kind: 'ready' }),
    kernels: new Store(0),
    open: async () => {},
    execute,
    ran: async () => [],
    complete: async () => undefined,
    inspect: async () => undefined,
    move: async (slider, value) => {
      send('comm_msg', { comm_id: 'bench', data: { slider, value } });
    },
    interrupt: async () => {},
    restart: async () => {},
  };
  return { line, close: () => kernel.shutdown() };
}

/** Resolves when the last cell shows `text`, and the runner rests. */
function shown(model: SheetModel, runner: Runner, text: string | undefined): Promise<void> {
  return new Promise((done) => {
    const look = () => {
      const { running, waiting, moving } = runner.state.value;
      if (running !== undefined || waiting.length > 0 || moving) return;
      const [last] = model.code(`c${cells - 1}`)?.outputs ?? [];
      const is = last && 'data' in last ? last.data?.['text/plain'] : undefined;
      if (text !== undefined && is !== text) return;
      stop();
      done();
    };
    const stop = runner.state.subscribe(look);
  });
}

export default async function bench() {
  const folder = mkdtempSync(join(tmpdir(), 'multislit-follow-'));
  const { line, close } = await lineTo(folder);
  try {
    const model = sheet();
    const runner = new Runner(model, line);
    const timed = async (start: () => void, text?: string) => {
      const began = performance.now();
      const end = shown(model, runner, text);
      start();
      await end;
      return (performance.now() - began) / 1000;
    };
    await timed(() => runner.runAll(), '10');
    const fromTop: number[] = [];
    const following: number[] = [];
    for (let round = 1; round <= 9; round += 1) {
      const micrometres = 40 + 4 * round;
      following.push(
        await timed(() => runner.move('c8', 'width', micrometres), `${micrometres / 4}`),
      );
      fromTop.push(await timed(() => runner.runAll(), `${micrometres / 4}`));
    }
    const median = (times: number[]) => times.toSorted((a, b) => a - b)[times.length >> 1];
    const ours = median(following);
    const baseline = median(fromTop);
    return {
      name: 'follow',
      ours,
      baseline,
      ratio: baseline / ours,
      aim: 5,
      note: `a slider moved until the last of its 3 dependents in ${cells} cells shows it, median of ${following.length}; baseline: all run from the top`,
    };
  } finally {
    await close();
    rmSync(folder, { recursive: true, force: true });
  }
}

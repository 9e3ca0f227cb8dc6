import { tmpdir } from 'node:os';
import { serialize } from 'node:v8';
import { Interrupted } from '../../kernel-lib/cells/run/cell-context';
import { keepOutput } from '../../kernel-lib/cells/run/run-notebook';
import { createRuntime } from '../../kernel-lib/cells/run/runtime';
import { createSession } from '../../kernel-lib/cells/run/session';
import { returnConverter } from '../../kernel-lib/confined/convert-return';
import type { Job } from '../../kernel-lib/confined/job';
import { createStage, openConfinement } from '../../kernel-lib/confined/walls';
import { nodeHost } from '../../kernel-lib/kernel/node-host';
import { nodeConverter } from '../../kernel-lib/kernel/node-session';
import type { CellOutput } from '../../kernel-lib/marking/run-report';
import { readRun } from '../../kernel-lib/marking/run-report';
import { joinLines, type Output } from '../../kernel-lib/notebook/notebook';
import { startKernel } from '../kernel/kernel';
import { type CellRan, everyHost } from './every-host';

const plainOf = (data: object) => String((data as Record<string, unknown>)['text/plain'] ?? '');

/** What a notebook keeps of a cell's outputs, read as every host tells it. */
function ranOf(outputs: readonly Output[], pieces: number, line?: number): CellRan {
  const streams = outputs.flatMap((one) => (one.output_type === 'stream' ? [one] : []));
  const error = outputs.find((one) => one.output_type === 'error');
  const value = outputs.find((one) => one.output_type === 'execute_result');
  return {
    printed: streams.map(({ text }) => joinLines(text)).join(''),
    pieces,
    shown: outputs.flatMap((one) =>
      one.output_type === 'display_data' ? [plainOf(one.data)] : [],
    ),
    ...(value && { value: plainOf(value.data) }),
    ...(error && { error: { name: error.ename, message: error.evalue, line } }),
  };
}

everyHost('the kernel, over its sockets', async () => {
  const kernel = await startKernel();
  return {
    close: () => kernel.stop(),
    async run(cells, stop) {
      const ran: CellRan[] = [];
      for (const [n, code] of cells.entries()) {
        const begun = new Promise<void>((done) => {
          const end = kernel.process.onMessage(({ header, content }) => {
            if (header.msg_type !== 'stream' || content.text !== 'begun\n') return;
            end();
            done();
          });
        });
        const running = kernel.run(code);
        if (n === stop) {
          await begun;
          await kernel.process.interrupt();
        }
        const { messages } = await running;
        const outputs: Output[] = [];
        let line: number | undefined;
        for (const { header, content, metadata } of messages) {
          const { msg_type: type } = header;
          if (type === 'error')
            line ??= (metadata.multislit as { line?: number } | undefined)?.line;
          if (/^(?:stream|error|display_data|execute_result)$/.test(type))
            outputs.push({ output_type: type, ...content } as unknown as Output);
        }
        const pieces = outputs.filter((one) => one.output_type === 'stream').length;
        ran.push(ranOf(outputs, pieces, line));
      }
      return ran;
    },
  };
});

everyHost('Node without a second thread, stopped by ticks', async () => {
  let stopping = false;
  const tick = () => {
    if (!stopping) return;
    stopping = false;
    throw new Interrupted();
  };
  const runtime = createRuntime({ ...nodeHost(), tick });
  const converter = await nodeConverter(tmpdir(), { ticks: true });
  return {
    close: async () => converter.close(),
    async run(cells, stop) {
      let at = -1;
      let pieces = 0;
      const session = createSession(runtime, {
        cwd: tmpdir(),
        converter,
        onOutput(output, tag) {
          if (output.type === 'stream') pieces += 1;
          keepOutput(tag as Output[], output, []);
          if (at !== stop || output.type !== 'stream') return;
          stopping = true;
          // A wait ends by word; a loop hears nothing before its next tick.
          setImmediate(() => stopping && session.interrupt());
        },
      });
      const ran: CellRan[] = [];
      for (const source of cells) {
        at += 1;
        pieces = 0;
        const tag: Output[] = [];
        const { error } = await session.run(source, { tag });
        stopping = false;
        ran.push(ranOf(tag, pieces, error?.place?.line));
      }
      session.close();
      return ran;
    },
  };
});

everyHost('the marker’s child', async () => {
  const stage = createStage();
  const confinement = await openConfinement(stage);
  const convert = returnConverter(await nodeConverter(tmpdir(), { withLibrary: true }));
  const sheet = { name: 'none', title: '', given: serialize({}).toString('base64'), questions: [] };

  const told = (outputs: readonly CellOutput[]): Omit<CellRan, 'error'> => {
    const printed = outputs.flatMap((one) => (one.is === 'printed' ? [one.text] : []));
    const value = outputs.find(({ is }) => is === 'value')?.text;
    return {
      printed: printed.join(''),
      pieces: printed.length,
      shown: outputs.flatMap(({ is, text }) => (is === 'shown' ? [text] : [])),
      ...(value === undefined ? {} : { value }),
    };
  };

  return {
    close: async () => stage.remove(),
    async run(sources, stop) {
      const cells = sources.map((source, n) => ({ id: `c${n}`, source, isOwn: true }));
      const converted = await convert.convert(cells, () => true);
      const ready = converted.flatMap((cell) =>
        'code' in cell ? [{ ...cell.code, shows: true }] : [],
      );
      // Nobody presses a key while marking: what does not end is stopped by its time.
      const cellTime = stop === undefined ? 60_000 : 500;
      const job: Job = { sheet, student: '1001', cells: ready, questions: [], cellTime };
      const child = confinement.startChild();
      child.send(job, true);
      let end: ReturnType<typeof readRun>;
      while (!end || !('answers' in end)) {
        const heard = await child.next(60_000);
        if (!('line' in heard)) throw new Error(`${heard.none}: ${child.complaint}`);
        end = readRun(heard.line, []);
      }
      child.kill();
      const ran = new Map(end.cells.map((cell) => [cell.id, cell]));
      return converted.map((cell): CellRan => {
        if ('fault' in cell) return { ...told([]), error: cell.fault };
        const { outputs = [], error } = ran.get(cell.id) ?? {};
        const place =
          error?.line === undefined
            ? []
            : [{ ...error, id: cell.id, line: error.line, column: error.column ?? 1 }];
        const [at] = convert.places(place);
        return { ...told(outputs), ...(error && { error: { ...error, line: at?.line } }) };
      });
    },
  };
});

import { aheadOf, cellsOf } from '../cells/ahead';
import { createRuntime } from '../cells/run/runtime';
import { createSession, type Session } from '../cells/run/session';
import { movableTarget } from '../figures/slider';
import { browserHost } from './browser-host';
import { remoteConverter } from './checker-line';
import { type FrameToRunner, found, published, type RunnerSays } from './messages';
import { createTicks } from './ticks';

// The worker in which cells run: the library, the sheets and the session, and never the compiler. What a student's
// code does to what stands here it does to itself: this worker reaches nothing, and may be ended at any time.

const stringify = JSON.stringify;
const post = postMessage.bind(globalThis);
const say = (word: RunnerSays) => post(stringify(word));

let session: Session | undefined;
let interrupt = () => {};
let watch = (_flag: string) => {};
let begin = () => {};
/** The files beside the notebook that the page has brought, by name. */
const beside = new Map<string, Uint8Array>();
let move = (_slider: string, _value: number) => {};
/** Asked of the reader and not yet answered; one at a time is put. */
const asked: { readonly run: number; readonly question: string; done(text: string): void }[] = [];

function putQuestion(): void {
  const [first] = asked;
  if (first) say({ is: 'asks', run: first.run, question: first.question });
}

function start(word: Extract<FrameToRunner, { begin: unknown }>, port: MessagePort): void {
  // Deep enough that the cell's own frames are seen below the library's.
  Error.stackTraceLimit = 40;
  const { sheets, bench, ahead } = word.begin;
  const ticks = createTicks(() => runtime.cells.currentOrLast());
  const runtime = createRuntime(browserHost(sheets, bench, ticks.tick, beside));
  runtime.cells.attributeEverything(() => {});
  const made = createSession(runtime, {
    cwd: '/sheets',
    converter: remoteConverter(port),
    ahead: aheadOf(ahead === undefined ? [] : cellsOf(ahead)),
    onOutput(output, tag) {
      if (typeof tag === 'number') say({ is: 'output', run: tag, output: published(output) });
    },
    onAsk(question, tag) {
      return new Promise((done) => {
        if (asked.push({ run: Number(tag), question, done }) === 1) putQuestion();
      });
    },
  });
  session = made;
  ({ begin, watch } = ticks);
  watch(word.flag);
  interrupt = () => made.interrupt();
  move = (slider, value) => {
    const comm = { id: 'page', target: movableTarget, buffers: [] };
    for (const [type, data] of [
      ['comm_open', {}],
      ['comm_msg', { slider, value }],
    ] as const)
      runtime.library.receive({ ...comm, type, data });
  };
  say({ is: 'ready' });
}

async function answer(word: FrameToRunner, { run, complete, inspect }: Session): Promise<void> {
  if ('run' in word) {
    begin();
    const { run: tag, source, quiet, cell, cells } = word;
    const {
      status,
      executionCount: count,
      names,
    } = await run(source, {
      tag,
      silent: quiet,
      counted: true,
      cell,
      cells,
    });
    // Nobody waits for what a cell asked that has ended.
    asked.length = 0;
    say({ is: 'done', run: tag, ended: { ok: status === 'ok', count, names } });
  } else if ('complete' in word) {
    const { complete: asking, source, at } = word;
    say({ is: 'completed', asked: asking, found: found(await complete(source, at)) });
  } else if ('inspect' in word) {
    const { inspect: asking, source, at } = word;
    say({ is: 'inspected', asked: asking, text: await inspect(source, at) });
  } else if ('slider' in word) move(word.slider, word.value);
  else if ('answer' in word) {
    asked.shift()?.done(word.text);
    putQuestion();
  }
}

addEventListener('message', ({ data, ports }: MessageEvent<FrameToRunner>) => {
  if ('begin' in data) start(data, ports[0]);
  else if ('stop' in data) {
    watch(data.flag);
    interrupt();
  } else if ('file' in data) {
    if (data.bytes) beside.set(data.file, data.bytes);
    else beside.delete(data.file);
  } else if (session) void answer(data, session);
});

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll } from 'vitest';
import {
  ask,
  type Channel,
  type KernelMessage,
  type KernelProcess,
  launchKernel,
} from '../../kernel-lib/kernel/client';

type Content = Record<string, unknown>;

/** What came of one request: its reply and its broadcasts without the states, in order. */
export interface Answered {
  reply: Content;
  messages: KernelMessage[];
  states: unknown[];
  id: string;
}

/** A kernel for tests: the built program in a process of its own, spoken to by the real protocol. */
export interface TestKernel {
  readonly process: KernelProcess;
  /** Send a request and wait for its reply and its `idle`. */
  request(type: string, content: Content, channel?: Channel): Promise<Answered>;
  run(code: string, more?: Content): Promise<Answered>;
  /** Run a cell as a client does that gives cells names, or tells more, in the request's metadata. */
  runCell(code: string, metadata: Content): Promise<Answered>;
  /** The text of what a run printed and of its result. */
  text(code: string): Promise<string>;
  /** The next broadcast of this type that belongs to the request; after its end, the first that came since. */
  next(type: string, parent: string): Promise<KernelMessage>;
  stop(): Promise<void>;
}

/** An empty folder far from any node_modules. */
export function emptyFolder(): { path: string; remove(): void } {
  const path = mkdtempSync(join(tmpdir(), 'multislit-test-'));
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) };
}

export function textOf(messages: readonly KernelMessage[]): string {
  return messages
    .map(({ header, content }) => {
      if (header.msg_type === 'stream') return String(content.text);
      if (header.msg_type !== 'execute_result') return '';
      return String((content.data as Content)['text/plain']);
    })
    .join('');
}

export async function startKernel(cwd?: string): Promise<TestKernel> {
  const folder = cwd === undefined ? emptyFolder() : undefined;
  const kernel = await launchKernel({ cwd: cwd ?? folder!.path });
  const ended = new Set<string>();
  /** What came for requests that had been answered, and was not asked for yet. */
  const late: KernelMessage[] = [];
  kernel.onMessage((one) => {
    if (ended.has(String(one.parent_header.msg_id))) late.push(one);
  });

  async function request(
    type: string,
    content: Content,
    channel: Channel = 'shell',
    metadata: Content = {},
  ) {
    const message = { ...kernel.compose(type, content), metadata };
    const id = message.header.msg_id;
    const answered: Answered = { reply: {}, messages: [], states: [], id };
    const replied = new Promise<void>((done) => {
      let waiting = 2;
      const stop = kernel.onMessage((one) => {
        if (one.parent_header.msg_id !== id) return;
        const isState = one.header.msg_type === 'status';
        if (one.channel === channel) answered.reply = one.content;
        else if (isState) answered.states.push(one.content.execution_state);
        else answered.messages.push(one);
        if (one.channel === channel || one.content.execution_state === 'idle') waiting -= 1;
        if (waiting > 0) return;
        stop();
        ended.add(id);
        done();
      });
    });
    kernel.send(channel, message);
    await replied;
    return answered;
  }

  return {
    process: kernel,
    request,
    run: (code, more = {}) => request('execute_request', { code, ...more }),
    runCell: (code, metadata) => request('execute_request', { code }, 'shell', metadata),
    async text(code) {
      const { messages, reply } = await request('execute_request', { code });
      if (reply.status === 'error') throw new Error(`${reply.ename}: ${reply.evalue}`);
      return textOf(messages);
    },
    next: (type, parent) =>
      new Promise((done) => {
        const isMeant = ({ header, parent_header }: KernelMessage) =>
          header.msg_type === type && parent_header.msg_id === parent;
        const at = late.findIndex(isMeant);
        if (at >= 0) return done(late.splice(at, 1)[0]);
        const stop = kernel.onMessage((one) => {
          if (!isMeant(one)) return;
          stop();
          done(one);
        });
      }),
    async stop() {
      await kernel.shutdown();
      folder?.remove();
    },
  };
}

/** A kernel for all tests of a file or a group, started before them and ended after; `cells` run first. */
export function sharedKernel(...cells: string[]): TestKernel {
  let kernel: TestKernel;
  beforeAll(async () => {
    kernel = await startKernel();
    for (const cell of cells) await kernel.text(cell);
  });
  afterAll(() => kernel.stop());
  return new Proxy({} as TestKernel, { get: (_, name: keyof TestKernel) => kernel[name] });
}

export { ask };

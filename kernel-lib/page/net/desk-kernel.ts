import { KernelConnection } from '@jupyterlab/services/lib/kernel/default';
import { createMessage } from '@jupyterlab/services/lib/kernel/messages';
import { ServerConnection } from '@jupyterlab/services/lib/serverconnection';
import { readNames } from '../../cells/follow';
import { movableTarget } from '../../figures/slider';
import { Store } from '../store';
import { call, server } from './desk-files';
import {
  type Completions,
  CutOff,
  type Executed,
  isFault,
  type KernelLine,
  type KernelState,
  type Published,
  type RanBefore,
} from './host';

/** A kernel as the desk names it. */
interface KernelName {
  readonly id: string;
  readonly name: string;
  /** Jupyter's word for what it does. */
  readonly execution_state?: string;
}

/** The kernel of a notebook on a desk, by Jupyter's protocol: connects by itself, and again after the desk was away. */
export class DeskKernel implements KernelLine {
  readonly state = new Store<KernelState>({ kind: 'starting' });
  readonly kernels = new Store(0);
  private connection: KernelConnection | undefined;
  private kernelId = '';
  private closed = false;
  private waiting: { go: (connection: KernelConnection) => void; fail: (why: CutOff) => void }[] =
    [];
  /** Connections with a line to sliders. */
  private readonly movers = new WeakSet<KernelConnection>();
  private dropped: Set<(reason: CutOff) => void> = new Set();
  /** Sent to the kernel, which has not said so far that it is at work on them. */
  private readonly unheard = new Set<{ stop: boolean }>();
  /** The word that stops what runs, on its way. */
  private stopping: Promise<unknown> = Promise.resolve();

  constructor(private readonly path: string) {}

  async open(): Promise<void> {
    while (!this.closed) {
      try {
        this.attach(await kernelFor(this.path));
        return;
      } catch (error) {
        if (isFault(error, 'away', 'stranger')) {
          this.state.set({ kind: 'away', why: outOfReach });
          await new Promise((done) => setTimeout(done, 1000));
        } else {
          this.state.set({ kind: 'ended', why: (error as Error).message });
          return;
        }
      }
    }
  }

  private attach(model: KernelName): void {
    if (model.id !== this.kernelId) this.kernels.set(this.kernels.value + 1);
    this.kernelId = model.id;
    const connection = connectTo(model);
    this.connection = connection;
    connection.connectionStatusChanged.connect((_, status) => {
      if (connection !== this.connection) return;
      if (status === 'connected') {
        // What it says of itself comes only when that changes; the desk knows what it does now.
        const { status } = connection;
        const isBusy = (status === 'unknown' ? model.execution_state : status) === 'busy';
        this.state.set({ kind: isBusy ? 'busy' : 'ready' });
        for (const { go } of this.waiting.splice(0)) go(connection);
      } else if (status === 'disconnected') void this.lost();
    });
    connection.statusChanged.connect((_, status) => {
      if (connection !== this.connection) return;
      if (status === 'dead') this.ended();
      else if (status === 'busy') this.state.set({ kind: 'busy' });
      else if (status === 'idle') this.state.set({ kind: 'ready' });
      else if (status === 'autorestarting') void this.replaced();
    });
  }

  private giveUp(why: string): void {
    for (const { fail } of this.waiting.splice(0)) fail(new CutOff(why));
  }

  private drop(why: string): void {
    const { connection } = this;
    this.connection = undefined;
    for (const reject of [...this.dropped]) reject(new CutOff(why));
    this.dropped.clear();
    connection?.dispose();
  }

  private ended(): void {
    this.giveUp('The kernel ended before this ran.');
    this.drop('The kernel ended while this ran.');
    this.state.set({
      kind: 'ended',
      why: 'The kernel has ended, perhaps for want of memory. Your text is safe. Press Restart, then Run from the top.',
    });
  }

  private async lost(): Promise<void> {
    const { kind } = this.state.value;
    this.drop(`${server} went away while this ran: run it again.`);
    this.state.set({ kind: 'away', why: outOfReach });
    // One that answers but gives no line is not asked without end.
    if (kind !== 'ready' && kind !== 'busy') await new Promise((done) => setTimeout(done, 1000));
    await this.open();
  }

  /** Another tab restarted the kernel that both share. */
  private async replaced(): Promise<void> {
    this.drop('The kernel was restarted while this ran.');
    this.kernelId = '';
    this.state.set({ kind: 'starting' });
    await this.open();
  }

  private connected(): Promise<KernelConnection> {
    const { connection } = this;
    if (connection?.connectionStatus === 'connected') return Promise.resolve(connection);
    if (this.state.value.kind === 'ended')
      return Promise.reject(new CutOff('The kernel has ended: press Restart first.'));
    return new Promise((go, fail) => this.waiting.push({ go, fail }));
  }

  async execute(
    code: string,
    onOutput: (message: Published) => void,
    onAsk: (question: string, answer: (text: string) => void) => void,
    cell: string,
    cells?: readonly string[],
  ): Promise<Executed> {
    const sent = { stop: false };
    this.unheard.add(sent);
    try {
      // What stops another cell is not to meet this one.
      await this.stopping;
      const connection = await this.connected();
      if (sent.stop) throw new CutOff(stoppedEarly);
      return await this.executeOn(connection, sent, code, onOutput, onAsk, cell, cells);
    } finally {
      this.unheard.delete(sent);
    }
  }

  private async executeOn(
    connection: KernelConnection,
    sent: { readonly stop: boolean },
    code: string,
    onOutput: (message: Published) => void,
    onAsk: (question: string, answer: (text: string) => void) => void,
    cell: string,
    cells?: readonly string[],
  ): Promise<Executed> {
    const request = { code, store_history: true, allow_stdin: true, stop_on_error: true };
    // This client follows by itself, so that the kernel need not say below the cell what is older.
    const metadata = {
      cellId: cell,
      multislit: { follows: true, ...(cells && { cells: [...cells] }) },
    };
    const future = connection.requestExecute(request, true, metadata);
    future.onIOPub = (message) => {
      // Words to stop go another way than cells, and may be there before them: then once more.
      if (this.unheard.delete(sent) && sent.stop) this.sayStop().catch(() => {});
      onOutput(message);
    };
    future.onStdin = (message) => {
      if (message.header.msg_type !== 'input_request') return;
      const { prompt } = message.content as { prompt?: unknown };
      onAsk(String(prompt ?? ''), (value) =>
        future.sendInputReply({ status: 'ok', value }, message.header as never),
      );
    };
    let reject: (reason: CutOff) => void = () => {};
    const cut = new Promise<never>((_, fail) => {
      reject = fail;
    });
    this.dropped.add(reject);
    // The connection rejects its own promise too when it is disposed of; the cut says why.
    const done = future.done.catch(() => cut);
    try {
      const { content, metadata: told } = await Promise.race([done, cut]);
      const names = readNames((told.multislit as { names?: unknown } | undefined)?.names);
      return {
        ok: content.status === 'ok',
        count: content.execution_count,
        ...(names && { names }),
      };
    } finally {
      this.dropped.delete(reject);
    }
  }

  async ran(): Promise<readonly RanBefore[]> {
    const connection = await this.connected();
    const request = { code: '', silent: true, store_history: false, stop_on_error: false };
    const asked = connection.requestExecute(request, true, { multislit: { follows: true } });
    const told = (await asked.done).metadata.multislit as { ran?: unknown } | undefined;
    return Array.isArray(told?.ran) ? told.ran.flatMap(ranBefore) : [];
  }

  async complete(code: string, at: number): Promise<Completions | undefined> {
    const { connection } = this;
    if (connection?.connectionStatus !== 'connected') return undefined;
    const cursor_pos = codePointsBefore(code, at);
    const reply = (await connection.requestComplete({ code, cursor_pos })).content;
    if (reply.status !== 'ok') return undefined;
    const typed = (reply.metadata?._jupyter_types_experimental ?? []) as unknown as Match[];
    const byText = new Map(typed.map((match) => [match.text, match]));
    const matches = reply.matches.map((text) => byText.get(text) ?? { text });
    return { from: indexOfCodePoint(code, reply.cursor_start), matches };
  }

  async inspect(code: string, at: number): Promise<string | undefined> {
    const { connection } = this;
    if (connection?.connectionStatus !== 'connected') return undefined;
    const request = { code, cursor_pos: codePointsBefore(code, at), detail_level: 0 as const };
    const reply = (await connection.requestInspect(request)).content;
    const text = reply.status === 'ok' && reply.found ? reply.data['text/plain'] : undefined;
    return typeof text === 'string' ? text : undefined;
  }

  async move(slider: string, value: number): Promise<void> {
    const connection = await this.connected();
    const { clientId: session, username } = connection;
    const say = (msgType: 'comm_open' | 'comm_msg', content: object) => {
      const all = { comm_id: `multislit-${session}`, ...content };
      const message = { msgType, channel: 'shell', session, username, content: all };
      connection.sendShellMessage(createMessage(message as never) as never, false, true);
    };
    if (!this.movers.has(connection)) say('comm_open', { target_name: movableTarget, data: {} });
    this.movers.add(connection);
    say('comm_msg', { data: { slider, value } });
  }

  async interrupt(): Promise<void> {
    this.giveUp(stoppedEarly);
    for (const sent of this.unheard) sent.stop = true;
    if (this.kernelId) await this.sayStop();
  }

  private sayStop(): Promise<unknown> {
    const said = call('POST', `/api/kernels/${this.kernelId}/interrupt`);
    this.stopping = said.catch(() => {});
    return said;
  }

  async restart(): Promise<void> {
    const id = this.kernelId;
    this.drop('The kernel was restarted while this ran.');
    this.kernelId = '';
    this.state.set({ kind: 'restarting' });
    try {
      if (id) await call('POST', `/api/kernels/${id}/restart`);
    } catch {
      // Not there any more: opening asks for a new one.
    }
    await this.open();
  }
}

/** One cell of those that the kernel tells of. */
function ranBefore(from: { cell?: unknown; source?: unknown; names?: unknown }): RanBefore[] {
  const { cell, source } = from;
  if (typeof cell !== 'string' || typeof source !== 'string') return [];
  const names = readNames(from.names);
  return [{ cell, source, ...(names && { names }) }];
}

type Match = Completions['matches'][number];

const stoppedEarly = 'Stopped before the kernel was there.';

const outOfReach = `${server} does not answer, so nothing can be run. Your text is safe; this page goes on trying. If the window in which you started it was closed, start it again there.`;

/** The kernel of a notebook; the desk starts one when there is none. */
async function kernelFor(path: string): Promise<KernelName> {
  const asked = { path, name: path, type: 'notebook', kernel: { name: 'multislit' } };
  return (await call<{ kernel: KernelName }>('POST', '/api/sessions', asked)).kernel;
}

/** A line to the kernel, through the desk that this page came from. */
function connectTo(model: KernelName): KernelConnection {
  const serverSettings = ServerConnection.makeSettings({
    baseUrl: `${location.origin}/`,
    wsUrl: `${location.origin.replace(/^http/, 'ws')}/`,
    appendToken: false,
    token: '',
  });
  const connection = new KernelConnection({ model, serverSettings, handleComms: false });
  // DeskKernel asks again by itself; a line that does so too would go on after it was given up.
  return Object.assign(connection, { _reconnectLimit: 0 });
}

/** The protocol counts code points, strings here count UTF-16 units: an emoji is one of the former, two of the latter. */
export function codePointsBefore(text: string, index: number): number {
  let count = 0;
  for (const _ of text.slice(0, index)) count += 1;
  return count;
}

/** The inverse: where in the string the n-th code point begins. */
export function indexOfCodePoint(text: string, count: number): number {
  let index = 0;
  let seen = 0;
  for (const point of text) {
    if (seen === count) break;
    index += point.length;
    seen += 1;
  }
  return index;
}

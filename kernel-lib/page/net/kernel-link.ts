import type { KernelConnection } from '@jupyterlab/services/lib/kernel/default';
import type * as KernelMessage from '@jupyterlab/services/lib/kernel/messages';
import { Store } from '../store';
import { call, Refused, Unreachable } from './call';
import { connectTo, type KernelName, kernelFor } from './kernel-connection';
import { CutOff, type KernelState } from './kernel-state';

type IOPub = KernelMessage.IIOPubMessage;

/** The sheet's kernel, kept in reach: connects by itself, and again after the desk was away. */
export class KernelLink {
  readonly state = new Store<KernelState>({ kind: 'starting' });
  /** Counts kernels met: a new number means that nothing has been run in this one yet. */
  readonly kernels = new Store(0);
  private connection: KernelConnection | undefined;
  private kernelId = '';
  private closed = false;
  private waiting: { go: (connection: KernelConnection) => void; fail: (why: CutOff) => void }[] =
    [];
  private dropped: Set<(reason: CutOff) => void> = new Set();

  constructor(private readonly path: string) {}

  /** Connect, however long it takes. */
  async open(): Promise<void> {
    while (!this.closed) {
      try {
        this.attach(await kernelFor(this.path));
        return;
      } catch (error) {
        if (error instanceof Unreachable || (error instanceof Refused && error.stranger)) {
          this.state.set({ kind: 'away' });
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
        this.state.set({ kind: connection.status === 'busy' ? 'busy' : 'ready' });
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
    this.drop('The desk went away while this ran: run it again.');
    this.state.set({ kind: 'away' });
    // A desk that answers but gives no line is not asked without end.
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

  /**
   * Run code; `onOutput` gets everything the kernel publishes for it, `onAsk` what it asks of the reader with the
   * way to answer.
   *
   * @throws CutOff when the kernel ends or is restarted meanwhile
   */
  async execute(
    code: string,
    onOutput: (message: IOPub) => void,
    onAsk: (question: string, answer: (text: string) => void) => void,
  ): Promise<KernelMessage.IExecuteReplyMsg['content']> {
    const connection = await this.connected();
    const future = connection.requestExecute({
      code,
      store_history: true,
      allow_stdin: true,
      stop_on_error: true,
    });
    future.onIOPub = onOutput;
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
      return (await Promise.race([done, cut])).content;
    } finally {
      this.dropped.delete(reject);
    }
  }

  /** What could stand at `cursor` (in code points). Undefined when no kernel is in reach. */
  async complete(code: string, cursor: number) {
    const { connection } = this;
    if (connection?.connectionStatus !== 'connected') return undefined;
    return (await connection.requestComplete({ code, cursor_pos: cursor })).content;
  }

  /** What stands at `cursor` (in code points), as a mime bundle. */
  async inspect(code: string, cursor: number) {
    const { connection } = this;
    if (connection?.connectionStatus !== 'connected') return undefined;
    const request = { code, cursor_pos: cursor, detail_level: 0 as const };
    return (await connection.requestInspect(request)).content;
  }

  async interrupt(): Promise<void> {
    this.giveUp('Stopped before the kernel was there.');
    if (this.kernelId) await call('POST', `/api/kernels/${this.kernelId}/interrupt`);
  }

  /** A fresh kernel: every value computed so far is forgotten. */
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

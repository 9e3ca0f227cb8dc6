import { randomUUID } from 'node:crypto';
import type { KernelProcess } from '../kernel/client';
import { Refusal } from './refusal';
import type { WireMessage } from './wire';

/** Where a kernel's messages go: one open WebSocket of a client session. */
export interface Line {
  readonly session: string;
  deliver(message: WireMessage): void;
  hangUp(): void;
}

/** A line that was cut is taken up again within this time, ms. */
const AT_ONCE = 2000;

export type Launch = () => Promise<KernelProcess>;

/** All kernels of the desk, and which notebook each belongs to. */
export class Kernels {
  private readonly kernels = new Map<string, Kernel>();
  private readonly sessions = new Map<string, { id: string; path: string; kernel: Kernel }>();

  constructor(private readonly launch: Launch) {}

  list(): Kernel[] {
    return [...this.kernels.values()];
  }

  start(): Kernel {
    const kernel = new Kernel(this.launch);
    this.kernels.set(kernel.id, kernel);
    return kernel;
  }

  find(id: string): Kernel {
    const kernel = this.kernels.get(id);
    if (!kernel) throw new Refusal(404, 'This kernel is not running any more.');
    return kernel;
  }

  /** The notebook's own kernel: two tabs with the same notebook share it. */
  sessionFor(path: string) {
    const known = this.sessions.get(path);
    if (known) return known;
    const session = { id: randomUUID(), path, kernel: this.start() };
    this.sessions.set(path, session);
    return session;
  }

  sessionList() {
    return [...this.sessions.values()];
  }

  async remove(id: string): Promise<void> {
    const kernel = this.find(id);
    this.kernels.delete(id);
    for (const [path, session] of this.sessions)
      if (session.kernel === kernel) this.sessions.delete(path);
    await kernel.shutdown();
  }

  async closeAll(): Promise<void> {
    await Promise.all(this.list().map((kernel) => this.remove(kernel.id)));
  }
}

/** One kernel that clients know by its id; a restart puts a new process behind the same id. */
export class Kernel {
  readonly id = randomUUID();
  readonly lines = new Set<Line>();
  state = 'starting';
  lastActivity = new Date();
  private running: Promise<KernelProcess>;
  private life = 0;
  /** The request that waits for an answer of its session. */
  private asked: WireMessage['parent_header'] | undefined;

  constructor(private readonly launch: Launch) {
    this.running = this.start();
  }

  get ready(): Promise<unknown> {
    return this.running;
  }

  model() {
    return {
      id: this.id,
      name: 'multislit',
      last_activity: this.lastActivity.toISOString(),
      execution_state: this.state,
      connections: this.lines.size,
    };
  }

  private async start(): Promise<KernelProcess> {
    this.life += 1;
    const life = this.life;
    this.state = 'starting';
    this.asked = undefined;
    const started = await this.launch().catch((error: Error) => {
      this.state = 'dead';
      throw new Refusal(500, `The kernel could not be started: ${error.message}`);
    });
    started.onMessage((message) => {
      if (life === this.life) this.spread(message as unknown as WireMessage);
    });
    started.onExit(() => {
      if (life !== this.life) return;
      this.state = 'dead';
      this.announce('dead');
    });
    this.state = 'idle';
    return started;
  }

  /** A client went away. Nobody else can answer what it was asked: unless it comes back at once, that is stopped. */
  leave(line: Line): void {
    this.lines.delete(line);
    setTimeout(() => {
      const isBack = [...this.lines].some(({ session }) => session === line.session);
      if (this.asked?.session === line.session && !isBack) this.interrupt().catch(() => {});
    }, AT_ONCE).unref();
  }

  /** Published messages go to every line, replies to the session that asked. */
  private spread(message: WireMessage): void {
    this.lastActivity = new Date();
    const { parent_header: parent } = message;
    if (message.channel === 'iopub' && message.header.msg_type === 'status') {
      this.state = String(message.content.execution_state);
      // Channels have no common order: what is told of another request says nothing of this one.
      if (this.state === 'idle' && parent.msg_id === this.asked?.msg_id) this.asked = undefined;
    }
    if (message.header.msg_type === 'input_request') this.asked = parent;
    for (const line of this.lines)
      if (message.channel === 'iopub' || line.session === message.parent_header.session)
        line.deliver(message);
  }

  /** Say something about the kernel that it cannot say itself any more. */
  private announce(state: 'restarting' | 'dead'): void {
    const header = {
      msg_id: randomUUID(),
      msg_type: 'status',
      session: this.id,
      username: '',
      version: '5.4',
      date: new Date().toISOString(),
    };
    const content = { execution_state: state };
    for (const line of this.lines)
      line.deliver({ channel: 'iopub', header, parent_header: {}, metadata: {}, content });
  }

  async send(message: WireMessage): Promise<void> {
    this.lastActivity = new Date();
    const { channel, ...rest } = message;
    if (message.header.msg_type === 'input_reply') this.asked = undefined;
    const running = await this.running;
    if (this.state !== 'dead') running.send(channel as 'shell', rest as never);
  }

  async interrupt(): Promise<void> {
    await (await this.running).interrupt();
  }

  async restart(): Promise<void> {
    const before = this.running;
    this.announce('restarting');
    this.running = this.endOf(before).then(() => this.start());
    await this.running;
  }

  private async endOf(running: Promise<KernelProcess>): Promise<void> {
    this.life += 1;
    const process = await running.catch(() => undefined);
    await process?.shutdown().catch(() => process.kill());
  }

  async shutdown(): Promise<void> {
    await this.endOf(this.running);
    this.state = 'dead';
    for (const line of this.lines) line.hangUp();
  }
}

/** Keeps one kernel started ahead, so that the first sheet need not wait for its kernel. */
export class PrestartedKernel {
  private started: Promise<KernelProcess | undefined> | undefined;
  private prepared = false;

  constructor(private readonly launch: () => Promise<KernelProcess>) {}

  /** Start one now, for whoever asks first. Only once: later sheets are opened with the page warm. */
  prepare(): void {
    if (this.prepared) return;
    this.prepared = true;
    this.started = this.launch().then(
      (kernel) => {
        kernel.onExit(() => {
          this.started = undefined;
        });
        return kernel;
      },
      // Whoever asks next launches one and hears what is wrong.
      () => undefined,
    );
  }

  /** The kernel started ahead, or a new one. */
  async take(): Promise<KernelProcess> {
    this.prepared = true;
    const { started } = this;
    this.started = undefined;
    return (await started) ?? this.launch();
  }

  /** End the one that nobody took. */
  async close(): Promise<void> {
    const kernel = await this.started;
    await kernel?.shutdown();
  }
}

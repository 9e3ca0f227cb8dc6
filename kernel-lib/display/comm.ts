/** A line between something shown in a client and the kernel, as Jupyter's comm messages carry it. */
export interface Comm {
  readonly id: string;
  readonly target: string;
  send(data: Record<string, unknown>, buffers?: readonly Uint8Array[]): void;
  /** Called with what the client sends. */
  onMessage(
    listener: (data: Record<string, unknown>, buffers: readonly Uint8Array[]) => void,
  ): void;
  /** Called once, when the client closes the line. */
  onClose(listener: () => void): void;
  close(data?: Record<string, unknown>): void;
}

/** One comm message, either way. */
export interface CommMessage {
  readonly type: 'comm_open' | 'comm_msg' | 'comm_close';
  readonly id: string;
  readonly target: string;
  readonly data: Record<string, unknown>;
  readonly buffers: readonly Uint8Array[];
}

type Accept = (comm: Comm, data: Record<string, unknown>) => void;
interface Line {
  readonly comm: Comm;
  readonly message: Parameters<Comm['onMessage']>[0][];
  readonly close: (() => void)[];
}

const targets = new Map<string, Accept>();
const lines = new Map<string, Line>();
let post: (message: CommMessage) => void = () => {};
let count = 0;

function addLine(id: string, target: string): Line {
  const tell = (
    type: CommMessage['type'],
    data: Record<string, unknown> = {},
    buffers: readonly Uint8Array[] = [],
  ) => post({ type, id, target, data, buffers });
  const line: Line = {
    message: [],
    close: [],
    comm: {
      id,
      target,
      send: (data, buffers) => {
        if (!lines.has(id))
          throw new Error(`This comm (${target}) is closed; open another one to send more.`);
        tell('comm_msg', data, buffers);
      },
      onMessage: (listener) => void line.message.push(listener),
      onClose: (listener) => void line.close.push(listener),
      close: (data) => {
        if (lines.delete(id)) tell('comm_close', data);
      },
    },
  };
  lines.set(id, line);
  return line;
}

/**
 * Open a line to a client that knows `target`. Without a kernel the line leads nowhere.
 *
 * @example openComm('multislit.bench', { width: 40e-6 }).target // 'multislit.bench'
 */
export function openComm(target: string, data: Record<string, unknown> = {}): Comm {
  count += 1;
  const id = `multislit-${Date.now().toString(36)}-${count}`;
  const { comm } = addLine(id, target);
  post({ type: 'comm_open', id, target, data, buffers: [] });
  return comm;
}

/**
 * Answer the lines that clients open to `target`. A second call for the same target takes over.
 *
 * @example
 * const sent = [];
 * acceptComm('my.slider', (comm, { width }) => comm.send({ twice: 2 * width }));
 * const client = connectComms(({ data }) => sent.push(data));
 * client.receive({ type: 'comm_open', id: '1', target: 'my.slider', data: { width: 4e-5 }, buffers: [] });
 * sent[0].twice // 8e-5
 */
export function acceptComm(target: string, accept: Accept): void {
  targets.set(target, accept);
}

/** What a kernel needs to carry comm messages. */
export interface CommExchange {
  /** A message from a client. */
  receive(message: CommMessage): void;
  /** The target of each open line, by id. */
  open(): Record<string, string>;
}

/**
 * Send comm messages through `send` from now on.
 *
 * @returns what messages from clients are given to
 * @example
 * const sent = [];
 * connectComms(({ type }) => sent.push(type));
 * openComm('my.slider').send({ width: 4e-5 });
 * sent.join() // 'comm_open,comm_msg'
 */
export function connectComms(send: (message: CommMessage) => void): CommExchange {
  post = send;
  return {
    open: () => Object.fromEntries([...lines].map(([id, { comm }]) => [id, comm.target])),
    receive({ type, id, target, data, buffers }) {
      if (type === 'comm_open') {
        const accept = targets.get(target);
        const { comm } = addLine(id, target);
        // The protocol's answer to an unknown target: close the line again.
        if (accept) accept(comm, data);
        else comm.close();
        return;
      }
      const line = lines.get(id);
      if (type === 'comm_msg') for (const listener of line?.message ?? []) listener(data, buffers);
      else if (lines.delete(id)) for (const listener of line?.close ?? []) listener();
    },
  };
}

import type { Publisher, Router } from 'zeromq';
import type { Message, ParentHeader } from './message';
import { compose, encode } from './wire';

/** Sends one kernel's messages on its sockets, at once: also from inside a loop that never yields. */
export function createSender(key: string, session: string) {
  /** Without a limit on what waits and without waiting, every send is done when the call returns. */
  const prepare = <S extends Publisher | Router>(socket: S): S => {
    socket.sendHighWaterMark = 0;
    socket.sendTimeout = 0;
    socket.linger = 1000;
    return socket;
  };

  return {
    prepare,
    reply(
      socket: Router,
      to: { routing: readonly Buffer[]; message: Message },
      type: string,
      content: Record<string, unknown>,
    ): void {
      const message = compose(type, content, { session, parent: to.message.header });
      socket.send(encode(message, key, to.routing)).catch(() => {});
    },
    publish(
      socket: Publisher,
      type: string,
      content: Record<string, unknown>,
      more: {
        parent: ParentHeader;
        metadata?: Record<string, unknown>;
        buffers?: readonly Uint8Array[];
      },
    ): void {
      const message = compose(type, content, { session, parent: more.parent });
      message.metadata = more.metadata ?? {};
      message.buffers = [...(more.buffers ?? [])];
      socket.send(encode(message, key, [Buffer.from(type)])).catch(() => {});
    },
  };
}

export type Sender = ReturnType<typeof createSender>;

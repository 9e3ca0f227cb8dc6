import { base64 } from '../../display/base64';
import { asBundle, isShowable, type MimeBundle, type Showable } from '../../display/bundle';
import type { Host, StreamName } from '../host';
import { attempt, type CellError, withoutHolder } from './cell-errors';

// Those that cells see do nothing more once their cell is stopped.
const { clearTimeout, setTimeout } = globalThis;

/** What a cell brings forth while it runs, and after. */
export type Output =
  | { readonly type: 'stream'; readonly name: StreamName; readonly text: string }
  | {
      readonly type: 'display_data';
      readonly data: MimeBundle;
      readonly metadata: Record<string, unknown>;
      /** By which it can be changed. */
      readonly id?: string;
    }
  | {
      readonly type: 'update_display_data';
      readonly data: MimeBundle;
      readonly metadata: Record<string, unknown>;
      readonly id: string;
    }
  | {
      readonly type: 'execute_result';
      readonly data: MimeBundle;
      readonly metadata: Record<string, unknown>;
      readonly executionCount: number;
    }
  | ({ readonly type: 'error' } & CellError)
  | { readonly type: 'clear_output'; readonly wait: boolean };

/** Text of one cell that clients are given at most, in UTF-16 units: about 8000 full lines. */
export const textLimit = 500_000;
/** Pictures and figures of one cell at most, so that a loop does not fill a notebook. */
const displayLimit = 500;
const pieceSize = 16_384;
const pieceTime = 50;

const pieces = new Intl.NumberFormat('en').format;

/** Gathers what one cell prints into few messages, and stops where it is too much. */
export function createOutput(send: (output: Output) => void) {
  let name: StreamName = 'stdout';
  let pending = '';
  let sentAt = 0;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let written = 0;
  let shown = 0;
  /** The newest change of each display that is still to be sent, and when one of it was sent last. */
  const changes = new Map<string, Output>();
  const changedAt = new Map<string, number>();

  function flush(): void {
    if (timer) clearTimeout(timer);
    timer = undefined;
    flushText();
    for (const [id, change] of changes) {
      changedAt.set(id, Date.now());
      send(change);
    }
    changes.clear();
  }

  function flushText(): void {
    if (pending === '') return;
    const text = pending;
    pending = '';
    sentAt = Date.now();
    send({ type: 'stream', name, text });
  }

  function add(stream: StreamName, text: string): void {
    if (stream !== name) flushText();
    name = stream;
    pending += text;
    // The first text after a silence goes at once: what follows may be a long calculation.
    if (pending.length >= pieceSize || Date.now() - sentAt >= pieceTime) flushText();
    else timer ??= setTimeout(flush, pieceTime);
  }

  function notice(text: string): void {
    add('stderr', text);
    flush();
  }

  return {
    flush,
    write(stream: StreamName, printed: string): void {
      if (written > textLimit || printed === '') return;
      const text = withoutHolder(printed);
      const room = textLimit - written;
      written += text.length;
      if (text.length <= room) {
        add(stream, text);
        return;
      }
      written = textLimit + 1;
      add(stream, text.slice(0, room));
      notice(
        `\nOutput stops here: this cell printed more than ${pieces(textLimit)} characters. The cell runs on, what it prints further is not shown.\n`,
      );
    },
    show(data: MimeBundle, metadata: Record<string, unknown> = {}, id?: string): void {
      flush();
      shown += 1;
      if (id !== undefined) changedAt.set(id, Date.now());
      if (shown <= displayLimit) send({ type: 'display_data', data, metadata, id });
      else if (shown === displayLimit + 1)
        notice(
          `Figures stop here: this cell showed more than ${displayLimit}. Show one figure per cell, or clear the output (console.clear()) before the next.\n`,
        );
    },
    update(id: string, data: MimeBundle, metadata: Record<string, unknown> = {}): void {
      flushText();
      changes.set(id, { type: 'update_display_data', data, metadata, id });
      // Of many changes in a short time only the newest is worth sending.
      if (Date.now() - (changedAt.get(id) ?? 0) >= pieceTime) flush();
      else timer ??= setTimeout(flush, pieceTime);
    },
    send(output: Output): void {
      flush();
      send(output);
    },
    clear(wait: boolean): void {
      flush();
      written = 0;
      shown = 0;
      send({ type: 'clear_output', wait });
    },
  };
}

const plain = { depth: 4, maxArrayLength: 100, maxStringLength: 10_000, breakLength: 80 };

/** A bundle as JSON can carry it: bytes become base64. */
export function plainBundle(bundle: MimeBundle): MimeBundle {
  return Object.fromEntries(
    Object.entries(bundle).map(([type, data]) => [
      type,
      data instanceof Uint8Array ? base64(data) : data,
    ]),
  );
}

/** Whether a cell's last value is shown. A timer's handle, what a cell ends with that sets one, says nothing. */
export function isShown(value: unknown): boolean {
  if (value === undefined) return false;
  const made = attempt(() => (value as object | null)?.constructor?.name, undefined);
  return made !== 'Timeout' && made !== 'Immediate';
}

/**
 * A cell's last value as a mime bundle: what it says of itself, otherwise its text.
 *
 * @throws what the value itself throws when it is looked at
 */
export function valueBundle(value: unknown, { inspect }: Pick<Host, 'inspect'>): MimeBundle {
  if (attempt(() => isShowable(value), false)) return plainBundle((value as Showable)[asBundle]());
  return { 'text/plain': withoutHolder(inspect(value, plain)) };
}

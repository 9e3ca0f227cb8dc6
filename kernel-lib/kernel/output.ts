import { clearTimeout, setTimeout } from 'node:timers';
import type { MimeBundle } from '../display/bundle';
import { withoutHolder } from './describe-thrown';

/** What a cell brings forth while it runs, and after. */
export type Output =
  | { readonly type: 'stream'; readonly name: 'stdout' | 'stderr'; readonly text: string }
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

/** An error as a notebook shows it, with the place in the cell where it is known. */
export interface CellError {
  readonly ename: string;
  readonly evalue: string;
  readonly traceback: readonly string[];
  /** Counted from 1. */
  readonly place?: { readonly line: number; readonly column: number };
}

/** Text of one cell that clients are given at most, in UTF-16 units: about 8000 full lines. */
export const textLimit = 500_000;
/** Pictures and figures of one cell at most, so that a loop does not fill a notebook. */
export const displayLimit = 500;
const pieceSize = 16_384;
const pieceTime = 50;

const pieces = new Intl.NumberFormat('en').format;

/** Gathers what one cell prints into few messages, and stops where it is too much. */
export function createOutput(send: (output: Output) => void) {
  let name: 'stdout' | 'stderr' = 'stdout';
  let pending = '';
  let sentAt = 0;
  let timer: NodeJS.Timeout | undefined;
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

  function add(stream: 'stdout' | 'stderr', text: string): void {
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
    write(stream: 'stdout' | 'stderr', printed: string): void {
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

import type { Output } from '../../notebook/notebook';
import { joinLines } from '../../notebook/text';
import { LONGEST_STREAM, NOT_KEPT } from '../text/fold-text';

/** What the kernel publishes for a cell, as far as outputs go. */
export interface Published {
  header: { msg_type: string };
  // biome-ignore lint/suspicious/noExplicitAny: each message type has its own content, read below
  content: any;
}

/** The outputs after one more message, or the same array when it adds nothing. */
export function withMessage(outputs: readonly Output[], { header, content }: Published): Output[] {
  const before = outputs as Output[];
  switch (header.msg_type) {
    case 'stream':
      return withStream(before, content.name, content.text);
    case 'display_data':
      return [
        ...before,
        { output_type: 'display_data', data: content.data, metadata: content.metadata ?? {} },
      ];
    case 'execute_result':
      return [
        ...before,
        {
          output_type: 'execute_result',
          data: content.data,
          metadata: content.metadata ?? {},
          execution_count: content.execution_count,
        },
      ];
    case 'error':
      return [
        ...before,
        {
          output_type: 'error',
          ename: content.ename,
          evalue: content.evalue,
          traceback: content.traceback,
        },
      ];
    default:
      return before;
  }
}

function withStream(outputs: Output[], name: 'stdout' | 'stderr', text: string): Output[] {
  const last = outputs.at(-1);
  const joins = last?.output_type === 'stream' && last.name === name;
  const before = joins ? joinLines(last.text) : '';
  if (before.length > LONGEST_STREAM) return outputs;
  const whole = before + text;
  const cut = whole.length > LONGEST_STREAM;
  const kept = cut ? `${whole.slice(0, LONGEST_STREAM)}\n${NOT_KEPT}\n` : whole;
  return [...(joins ? outputs.slice(0, -1) : outputs), { output_type: 'stream', name, text: kept }];
}

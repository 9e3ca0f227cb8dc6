import { joinLines, type Output as Stored } from '../notebook/notebook';

import type { Output } from './output';

type Kept = Exclude<Output, { type: 'clear_output' | 'update_display_data' }>;

/** Outputs that can be changed, by their id; as long as their notebook is there. */
const displays = new WeakMap<Stored, string>();
/** Cleared when the next output comes. */
const stale = new WeakSet<Stored[]>();

const stored = (output: Kept): Stored => {
  switch (output.type) {
    case 'stream':
      return { output_type: 'stream', name: output.name, text: output.text };
    case 'display_data':
      return { output_type: 'display_data', data: { ...output.data }, metadata: output.metadata };
    case 'execute_result':
      return {
        output_type: 'execute_result',
        data: { ...output.data },
        metadata: output.metadata,
        execution_count: output.executionCount,
      };
    case 'error': {
      const { ename, evalue, traceback } = output;
      return { output_type: 'error', ename, evalue, traceback: [...traceback] };
    }
  }
};

/**
 * Adds what a session sends to the outputs of its cell, as nbformat keeps them.
 *
 * @param all the outputs of all cells so far, in which a display may be changed
 */
export function keepOutput(outputs: Stored[], output: Output, all: readonly Stored[][]): void {
  if (output.type === 'clear_output') {
    if (output.wait) stale.add(outputs);
    else outputs.length = 0;
    return;
  }
  if (output.type === 'update_display_data') {
    for (const one of all.flat())
      if (displays.get(one) === output.id && 'data' in one)
        Object.assign(one, { data: { ...output.data }, metadata: output.metadata });
    return;
  }
  if (stale.delete(outputs)) outputs.length = 0;
  const last = outputs.at(-1);
  if (output.type === 'stream' && last?.output_type === 'stream' && last.name === output.name) {
    last.text = joinLines(last.text) + output.text;
    return;
  }
  const kept = stored(output);
  if (output.type === 'display_data' && output.id !== undefined) displays.set(kept, output.id);
  outputs.push(kept);
}

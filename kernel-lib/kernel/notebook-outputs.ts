import type { Output as Stored } from '../notebook/notebook';
import { joinLines } from '../notebook/text';
import type { Output } from './output';

const stored = (output: Exclude<Output, { type: 'clear_output' }>): Stored => {
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

/** Adds what a session sends to the outputs of its cell, as nbformat keeps them. */
export function keepOutput(outputs: Stored[], output: Output): void {
  if (output.type === 'clear_output') {
    outputs.length = 0;
    return;
  }
  const last = outputs.at(-1);
  if (output.type === 'stream' && last?.output_type === 'stream' && last.name === output.name) {
    last.text = joinLines(last.text) + output.text;
  } else {
    outputs.push(stored(output));
  }
}

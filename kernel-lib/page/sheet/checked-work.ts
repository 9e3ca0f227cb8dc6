import type { Cell, Output } from '../../notebook/notebook';
import { verdictIn } from './verdict';
import { digestOfWork } from './work-of';

/** What the page keeps with a verdict, in the output's metadata under the one key `multislit`. */
interface OutputMark {
  readonly working?: unknown;
}

/** The outputs of a check with the digest of the working that they are about, so that it outlives the page. */
export function withWorking(outputs: readonly Output[], working: string): Output[] {
  return outputs.map((output) =>
    verdictIn(output) && 'metadata' in output
      ? { ...output, metadata: { ...output.metadata, multislit: { working } } }
      : output,
  );
}

/**
 * True when the working of a question is no longer what its verdict is about. A verdict that came by
 * another program says nothing of its working, and is taken as it is.
 */
export function isChangedSince(cells: readonly Cell[], question: string): boolean {
  const outputs = cells.flatMap((cell) => (cell.cell_type === 'code' ? cell.outputs : []));
  const last = outputs.findLast((output) => verdictIn(output)?.question === question);
  const mark = last && 'metadata' in last ? (last.metadata?.multislit as OutputMark) : undefined;
  const working = mark?.working;
  return typeof working === 'string' && working !== digestOfWork(cells, question);
}

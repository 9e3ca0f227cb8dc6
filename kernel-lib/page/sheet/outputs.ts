import { joinLines, type Output } from '../../notebook/notebook';
import type { Verdict } from '../../questions/verdict';
import { verdictMimeType } from '../../questions/verdict';
import type { Published } from '../net/host';
import { LONGEST_STREAM, NOT_KEPT } from '../text/printed-text';
import type { SheetModel } from './sheet-model';

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

const states = ['agrees', 'not yet', 'recorded', 'open'];

const isAmong = (marks: unknown, outOf: unknown) =>
  Number.isFinite(outOf) && (marks as number) >= 0 && (marks as number) <= (outOf as number);

/** The verdict in an output, if it is a well-formed one: outputs may come from anywhere. */
export function verdictIn(output: Output): Verdict | undefined {
  const data = 'data' in output ? (output.data?.[verdictMimeType] as Partial<Verdict>) : undefined;
  if (typeof data !== 'object' || data === null) return undefined;
  const { question, state, message, marks, outOf } = data;
  const fits =
    typeof question === 'string' &&
    states.includes(state ?? '') &&
    typeof message === 'string' &&
    isAmong(marks, outOf);
  return fits ? (data as Verdict) : undefined;
}

/** Where in a cell something went wrong; line and column count from 1. */
export interface ErrorPlace {
  readonly line: number;
  readonly column: number;
  readonly message: string;
}

/** The kernel writes `line 3, column 7`, with the name of the function, cell or file before it when it is another. */
const own = /^(?:\s+at (?:(?!cell \[)[^,]+, )?)?line (\d+), column (\d+)/;

/** The place in this very cell that an error among the outputs names. */
export function placeIn(outputs: readonly Output[]): ErrorPlace | undefined {
  const error = outputs.find((output) => output.output_type === 'error');
  if (error?.output_type !== 'error') return undefined;
  for (const line of (error.traceback ?? []).flatMap((text) => text.split('\n'))) {
    const match = own.exec(line);
    if (match)
      return { line: Number(match[1]), column: Number(match[2]), message: messageOf(error) };
  }
  return undefined;
}

type ErrorOutput = Extract<Output, { output_type: 'error' }>;

/** What the error of a cell is called that was stopped. */
export const stoppedName = 'Interrupted';
/** What it says where Stop came before the kernel had heard of the cell. */
export const neverBegan =
  'The cell was stopped before it began. Variables keep the values they have.';

/** The error's message without the place, which is shown apart. */
export function messageOf({ evalue }: ErrorOutput): string {
  return evalue.replace(/ \(line \d+, column \d+\)$/, '');
}

/** For reading aloud: the verdict or the error, if there is one. */
export function whatCameOut(outputs: readonly Output[]): string {
  for (const output of [...outputs].reverse()) {
    const verdict = verdictIn(output);
    if (verdict) return `Question ${verdict.question} ${verdict.state}. ${verdict.message}`;
    if (output.output_type === 'error') {
      if (output.ename === stoppedName) return 'Stopped.';
      const place = placeIn(outputs);
      return `Error${place ? ` in line ${place.line}` : ''}: ${messageOf(output)}`;
    }
  }
  return 'Done.';
}

/** Remembers which output has which display id, so that the kernel can change what it showed before. */
export class Displays {
  private readonly ids = new WeakMap<Output, string>();

  /** Note the newest of these outputs if the message gave it an id. */
  note(outputs: readonly Output[], { content }: Published): void {
    const id = content.transient?.display_id;
    const last = outputs.at(-1);
    if (typeof id === 'string' && last) this.ids.set(last, id);
  }

  /** Change every output with the message's display id. */
  update(model: SheetModel, { content }: Published): void {
    const id = content.transient?.display_id;
    for (const cell of model.cells.value) {
      if (cell.cell_type !== 'code' || !cell.outputs.some((output) => this.ids.get(output) === id))
        continue;
      const outputs = cell.outputs.map((output) => {
        if (this.ids.get(output) !== id || !('data' in output)) return output;
        const changed = { ...output, data: content.data, metadata: content.metadata ?? {} };
        this.ids.set(changed, id);
        return changed;
      });
      model.setOutputs(cell.id, outputs);
    }
  }
}

import type { Output } from '../../notebook/notebook';
import type { Verdict } from '../../questions/verdict';
import { verdictMimeType } from '../../questions/verdict';

const states = ['agrees', 'not yet', 'recorded'];

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

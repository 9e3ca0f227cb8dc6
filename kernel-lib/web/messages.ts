import type { Completion } from '../cells/convert/converter';
import { readNames } from '../cells/follow';
import type { Output } from '../cells/run/output';
import type { Executed, Published } from '../page/net/host';

/** What the page asks of the frame around the runner. */
export type ToFrame =
  /** The runner's program, once. */
  | { readonly program: string }
  /** Start a runner in the place of the one before; the port to the checker goes along. */
  | { readonly begin: Begin }
  /** For the runner. */
  | { readonly tell: ToRunner }
  /** Have it stop what it does. */
  | { readonly stop: true }
  /** End it. */
  | { readonly end: true };

/** What a runner is started with. */
export interface Begin {
  /** The program of each sheet, by name. */
  readonly sheets: Readonly<Record<string, string>>;
  /** The script of the live bench. */
  readonly bench: string;
  /** The file of cells of this sheet that were converted ahead: see `cells/ahead.ts`. */
  readonly ahead?: string;
}

/** What the page tells the runner. */
export type ToRunner =
  /** Run a cell; `quiet`: to have its values again, its outputs lead nowhere. */
  | {
      readonly run: number;
      readonly source: string;
      readonly quiet: boolean;
      /** What the page calls it, and the code cells of the notebook from the top down. */
      readonly cell?: string;
      readonly cells?: readonly string[];
    }
  | { readonly complete: number; readonly source: string; readonly at: number }
  | { readonly inspect: number; readonly source: string; readonly at: number }
  /** A file beside the notebook, before a cell runs that names it; without bytes it is there no more. */
  | { readonly file: string; readonly bytes?: Uint8Array }
  /** A slider of a cell is to be at `value`. */
  | { readonly slider: string; readonly value: number }
  /** What the reader answered to what a run asked. */
  | { readonly answer: number; readonly text: string };

/** What the frame tells the runner by itself, beside the above. */
export type FrameToRunner =
  | ToRunner
  | { readonly begin: Begin; readonly flag: string }
  /** Stop; from now on this is the address that is there as long as nothing is to be stopped. */
  | { readonly stop: true; readonly flag: string };

/** What the frame says to the page: by itself, or as the runner's word. */
export type FrameSays =
  | { readonly frame: 'up' }
  | { readonly frame: 'failed'; readonly why: string }
  | { readonly runner: unknown };

/** What the runner says, as JSON: whatever a student's code makes of it, plain data comes out. */
export type RunnerSays =
  | { readonly is: 'ready' }
  | { readonly is: 'output'; readonly run: number; readonly output: Published }
  | { readonly is: 'asks'; readonly run: number; readonly question: string }
  | { readonly is: 'done'; readonly run: number; readonly ended: Executed }
  | {
      readonly is: 'completed';
      readonly asked: number;
      readonly found?: { readonly from: number; readonly matches: readonly string[] };
    }
  | { readonly is: 'inspected'; readonly asked: number; readonly text?: string };

/** Longest word of a runner, in UTF-16 units: more than all that one cell may show. */
const longest = 64_000_000;
const kinds = /^(?:stream|display_data|update_display_data|execute_result|error|clear_output)$/;

type Plain = Record<string, unknown>;
const isPlain = (value: unknown): value is Plain =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
const areTexts = (value: unknown): value is string[] =>
  Array.isArray(value) && value.every((one) => typeof one === 'string');

/** The content of an output is what a page expects of its type. */
function isContent(type: string, content: Plain): boolean {
  if (type === 'stream')
    return /^std(?:out|err)$/.test(String(content.name)) && isText(content.text);
  if (type === 'error')
    return isText(content.ename) && isText(content.evalue) && areTexts(content.traceback);
  if (type === 'clear_output') return typeof content.wait === 'boolean';
  return isPlain(content.data) && isPlain(content.metadata);
}

const isText = (value: unknown): value is string => typeof value === 'string';

/**
 * What a runner says, or undefined where it is nothing that one says. A student's code may send whatever it likes:
 * nothing but these shapes gets further.
 */
export function readRunner(word: unknown): RunnerSays | undefined {
  if (!isText(word) || word.length > longest) return undefined;
  let said: unknown;
  try {
    said = JSON.parse(word);
  } catch {
    return undefined;
  }
  if (!isPlain(said)) return undefined;
  const { is, run, asked } = said;
  if (is === 'ready') return { is };
  if (is === 'inspected' && Number.isInteger(asked))
    return { is, asked: asked as number, ...(isText(said.text) && { text: said.text }) };
  if (is === 'completed' && Number.isInteger(asked)) {
    const { found } = said;
    const fits = isPlain(found) && Number.isInteger(found.from) && areTexts(found.matches);
    const whole = fits
      ? { from: found.from as number, matches: found.matches as string[] }
      : undefined;
    return { is, asked: asked as number, ...(whole && { found: whole }) };
  }
  if (!Number.isInteger(run)) return undefined;
  if (is === 'asks' && isText(said.question))
    return { is, run: run as number, question: said.question };
  if (is === 'done' && isPlain(said.ended)) {
    const { ok, count } = said.ended;
    if (typeof ok !== 'boolean' || !Number.isInteger(count)) return undefined;
    const names = readNames(said.ended.names);
    return {
      is,
      run: run as number,
      ended: { ok, count: count as number, ...(names && { names }) },
    };
  }
  if (is === 'output' && isPlain(said.output)) {
    const { header, content } = said.output;
    if (!isPlain(header) || !isText(header.msg_type) || !isPlain(content)) return undefined;
    if (!kinds.test(header.msg_type) || !isContent(header.msg_type, content)) return undefined;
    return { is, run: run as number, output: { header: { msg_type: header.msg_type }, content } };
  }
  return undefined;
}

/** An output as the page is told of it, in the content that Jupyter's protocol has for it. */
export function published(output: Output): Published {
  const { type: msg_type, ...content } = output;
  const header = { msg_type };
  if (output.type === 'error') {
    const { ename, evalue, traceback } = output;
    return { header, content: { ename, evalue, traceback } };
  }
  if (output.type === 'execute_result') {
    const { data, metadata, executionCount } = output;
    return { header, content: { data, metadata, execution_count: executionCount } };
  }
  if (output.type === 'display_data' || output.type === 'update_display_data') {
    const { data, metadata, id } = output;
    const transient = id === undefined ? {} : { display_id: id };
    return { header, content: { data, metadata, transient } };
  }
  return { header, content };
}

/** Found completions as the page wants them. */
export const found = ({ start, candidates }: Completion) => ({ from: start, matches: candidates });

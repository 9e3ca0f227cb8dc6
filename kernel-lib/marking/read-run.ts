import { ownProperty, type PlainAnswer, readAnswer } from '../questions/answer';
import { type CellOutput, fullRoom, type Room, readOutputs } from './cell-output';
import { plainText } from './plain-text';

/** What a run says of one cell. */
export interface CellTold {
  readonly id: string;
  readonly outputs?: readonly CellOutput[];
  readonly error?: {
    readonly name: string;
    readonly message: string;
    /** Where in the emitted code, both counted from 1. */
    readonly line?: number;
    readonly column?: number;
    /** It did not convert, so nothing of it ran. Told by the marker, never by a run. */
    readonly unrun?: true;
    /** The cell where it happened, where that is told of a question. */
    readonly cell?: string;
    /** Of a cell that was stopped: it had little of the processor, so it waited, or the machine was busy. */
    readonly idle?: true;
  };
}

const most = { cells: 500, id: 200, name: 80, message: 500 };

const count = (value: unknown) =>
  Number.isSafeInteger(value) && (value as number) > 0 ? (value as number) : undefined;

/**
 * Read one line of an untrusted run: where it is, or its end with answers. Anything of another form is nothing.
 *
 * @param line parsed JSON
 * @param questions whose answers are wanted; others are passed over
 */
export function readRun(
  line: unknown,
  questions: readonly string[],
):
  | { readonly at: string }
  | { readonly answers: ReadonlyMap<string, PlainAnswer>; readonly cells: readonly CellTold[] }
  | undefined {
  const at = ownProperty(line, 'at');
  if (at === 'cell' || at === 'question')
    return { at: plainText(ownProperty(line, 'id'), most.id) };
  if (at !== 'end') return undefined;
  const handed = ownProperty(line, 'answers');
  const answers = new Map<string, PlainAnswer>();
  for (const id of questions) {
    const answer = ownProperty(handed, id);
    if (answer !== undefined) answers.set(id, readAnswer(answer));
  }
  const list = ownProperty(line, 'cells');
  const room = fullRoom();
  const cells = Array.isArray(list)
    ? list.slice(0, most.cells).map((cell) => readCell(cell, room))
    : [];
  return { answers, cells };
}

function readCell(cell: unknown, room: Room): CellTold {
  const outputs = readOutputs(ownProperty(cell, 'outputs'), room);
  const error = ownProperty(cell, 'error');
  return {
    id: plainText(ownProperty(cell, 'id'), most.id),
    ...(outputs.length === 0 ? {} : { outputs }),
    ...(error === undefined ? {} : { error: readError(error) }),
  };
}

function readError(error: unknown): CellTold['error'] {
  const line = count(ownProperty(error, 'line'));
  const column = count(ownProperty(error, 'column'));
  const cell = plainText(ownProperty(error, 'cell'), most.id);
  return {
    name: plainText(ownProperty(error, 'name'), most.name) || 'Error',
    message: plainText(ownProperty(error, 'message'), most.message),
    ...(line === undefined ? {} : { line }),
    ...(column === undefined ? {} : { column }),
    ...(cell === '' ? {} : { cell }),
    ...(ownProperty(error, 'idle') === true ? { idle: true } : {}),
  };
}

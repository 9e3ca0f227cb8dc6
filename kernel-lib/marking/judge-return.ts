import { listed } from '../figures/shown';
import { type Cell, type Notebook, sourceOf, tagOf, takesWork } from '../notebook/notebook';
import { isSkeleton, type PlainAnswer, type Sampling, sayError } from '../questions/answer';
import { type CarriedFinding, judgeCarried } from '../questions/carried';
import { judgePlain, samplingOf } from '../questions/judge';
import { type AnyKey, openForms } from '../questions/sheet';
import type { CellReport } from './run-report';

/** What one question earned. Plain data. */
export interface QuestionMark {
  readonly question: string;
  readonly asks: string;
  readonly state: 'agrees' | 'not yet' | 'to be read';
  readonly marks: number;
  readonly outOf: number;
  /** The reason, for the student; the hint where a slip was recognised. */
  readonly message: string;
  readonly shown?: string;
  readonly slip?: string;
  /** The earlier question, where the answer is right for the student's own, wrong answer to that one. */
  readonly follows?: string;
  /**
   * Why there is no answer to judge: an error in its cell, stopped (for its time or its memory), the cell deleted, its
   * name changed. With the cells of the question that failed.
   */
  readonly fault?: {
    readonly is: 'error' | 'stopped' | 'deleted' | 'renamed';
    readonly cells: readonly string[];
  };
  /** A person has read it and gave the marks. */
  readonly isRead?: true;
  /** What of the mark scheme that person found met: its lines, with what each earned. */
  readonly ticks?: readonly {
    readonly point: string;
    readonly marks: number;
    readonly outOf: number;
  }[];
  /** What the person who read a written answer says to the student. */
  readonly remark?: string;
  /** Where a person set the mark: what it was before, null where nothing was given yet; and why. */
  readonly changed?: { readonly from: number | null; readonly reason: string };
}

/** Of an answer that waits for a person. */
export const waitsSaid = 'A person reads and marks this one.';

const missing: PlainAnswer = { is: 'blank' };

const ofCarried = ({ marks, shown, message, follows }: CarriedFinding, outOf: number) => ({
  state: marks === outOf ? ('agrees' as const) : ('not yet' as const),
  marks,
  message,
  shown,
  follows,
});

const asSampling = (sampling: Sampling | undefined) => (sampling ? { sampling } : {});

/** Where a student's functions are to be called; nothing for other questions. */
export function samplings(key: AnyKey, given: object) {
  return openForms(key).map((question) => ({
    id: question.id,
    ...asSampling(samplingOf(question, given)),
  }));
}

/** Judge what a run handed in, with the key. Written questions wait for a person. */
export function judgeReturn(
  key: AnyKey,
  given: object,
  answers: ReadonlyMap<string, PlainAnswer>,
): QuestionMark[] {
  const forms = new Map(openForms(key).map((form) => [form.id, form]));
  return key.sheet.questions.map(({ id, asks, marks: outOf }): QuestionMark => {
    const asked = { question: id, asks, outOf };
    const form = forms.get(id);
    if (!form)
      return {
        ...asked,
        state: 'to be read',
        marks: 0,
        message: waitsSaid,
      };
    try {
      const { state, marks, message, shown, slip } = judgePlain(
        form,
        given,
        answers.get(id) ?? missing,
      );
      const carried = state === 'agrees' ? undefined : judgeCarried(key, id, given, answers);
      if (carried) return { ...asked, ...ofCarried(carried, outOf) };
      return {
        ...asked,
        state: state === 'agrees' ? 'agrees' : 'not yet',
        marks,
        message,
        ...(shown === undefined ? {} : { shown }),
        ...(slip === undefined ? {} : { slip }),
      };
    } catch (error) {
      const message = `This answer could not be judged: ${sayError(error)}`;
      return { ...asked, state: 'not yet', marks: 0, message };
    }
  });
}

/** What is known of a return beside its answers. */
interface ReturnThatRan {
  /** The sheet as it was handed out. */
  readonly original: Notebook;
  /** What the student wrote. */
  readonly returned: Notebook;
  readonly cells: readonly CellReport[];
  readonly answers: ReadonlyMap<string, PlainAnswer>;
  /** Why there are no answers at all. */
  readonly failure?: string;
}

type Fault = NonNullable<CellReport['error']>;
interface Told {
  readonly message: string;
  readonly fault: NonNullable<QuestionMark['fault']>['is'];
}

const endsSentence = (text: string) =>
  /[.!?]$/.test(text.trim()) ? text.trim() : `${text.trim()}.`;

/** The place that the converter writes behind what it finds. */
const place = / \((?:[^()]*, )?line \d+, column \d+\)\.?$/;
/** The converter gave up: that says nothing of types. */
const notChecked = 'NotChecked';

const withoutComments = (source: string) =>
  source
    .replace(/'(?:[^'\\\n]|\\.)*'|"(?:[^"\\\n]|\\.)*"|`(?:[^`\\]|\\.)*`/g, (text) =>
      text.replace(/[^\n]/g, ' '),
    )
    .replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, (text) => text.replace(/[^\n]/g, ' '));

/** Lines with a loop, from 1. */
const loopLines = (source: string): number[] =>
  withoutComments(source)
    .split('\n')
    .flatMap((line, i) => (/\b(?:while|for|do)\b/.test(line) ? [i + 1] : []));

/** What the marker says of a function that it had to stop. */
const endless = /^Your function did not end within /;

/** Where a loop without end may be; nothing where there is none. */
function loopsSaid(source: string): string {
  const [first, ...others] = loopLines(source).slice(0, 5);
  if (first === undefined) return '';
  return others.length === 0
    ? ` Look at the loop in line ${first}: does it end?`
    : ` Look at the loops in lines ${listed([first, ...others].map(String))}: do they end?`;
}

/** Names that a cell declares at its left edge. */
const declaredIn = (source: string): string[] =>
  [
    ...withoutComments(source).matchAll(
      /^(?:export\s+)?(?:const|let|var|(?:async\s+)?function\*?|class)\s+([\p{L}_$][\p{L}\p{N}_$]*)/gmu,
    ),
  ].map(([, name]) => name);

/** The name that an error says is not there. */
const missingName = ({ message }: Fault): string | undefined =>
  /Cannot find name '([^']+)'|(?:^|\s)([\p{L}_$][\p{L}\p{N}_$]*) is not defined/u
    .exec(message)
    ?.slice(1)
    .find((name) => name !== undefined);

/** What happened to a cell, with its line. */
function faultSaid(error: Fault, source: string): Told {
  const { name, line } = error;
  const found = error.unrun ? error.message.replace(place, '') : error.message;
  const message = endsSentence(found.trim().split('\n')[0]);
  const at = line === undefined ? '' : ` in line ${line}`;
  if (name === 'Stopped') {
    const said = message.replace(/^(?:It|The cell)(?= )/, 'Your cell');
    const where = /longer than/.test(message) ? loopsSaid(source) : '';
    return { message: `${said}${where}`, fault: 'stopped' };
  }
  if (name === notChecked)
    return { message: `Your cell did not run: ${message}`, fault: 'stopped' };
  if (error.unrun)
    return {
      message: `Your cell does not run; the fault is${at || ' in it'}: ${message}`,
      fault: 'error',
    };
  return { message: `Your cell stops with an error${at}: ${name}: ${message}`, fault: 'error' };
}

/**
 * The marks with the reason at each question that has no answer because of what happened to its cells: they do not
 * convert, stop with an error, do not end, were deleted, turned into text, or declare another name than is asked for.
 * Marks stay as they are.
 */
export function withFaults(marks: readonly QuestionMark[], ran: ReturnThatRan): QuestionMark[] {
  const { original, returned, answers, failure } = ran;
  const theirs = new Map(returned.cells.map((cell) => [cell.id, cell]));
  const errors = new Map(
    ran.cells.flatMap(({ id, error }) => (error ? [[id, error] as const] : [])),
  );
  const cellsOf = (question: string, role: string) =>
    original.cells.filter((cell) => {
      const tag = tagOf(cell);
      return tag?.question === question && tag.role === role;
    });
  const sourceIn = (cell: Cell) => sourceOf(theirs.get(cell.id) ?? cell);

  /** Where a name would have come from: a cell that does not run either. */
  function originOf(name: string, except: string): string {
    const other = returned.cells.find(
      ({ id, cell_type, source }) =>
        id !== except &&
        cell_type === 'code' &&
        errors.has(id) &&
        declaredIn([source].flat().join('')).includes(name),
    );
    if (!other) return '';
    return ` ${name} comes from ${cellSaid(other.id)}, which does not run.`;
  }

  function cellSaid(id: string | undefined): string {
    const cell = original.cells.find((one) => one.id === id);
    const question = cell && tagOf(cell)?.question;
    return question === undefined ? 'a cell of your own' : `the cell of ${question}`;
  }

  /** With the line of a loop that may be why a function did not end. */
  function endlessSaid(said: string, question: string): string {
    const [work] = cellsOf(question, 'work');
    return work && endless.test(said) ? said + loopsSaid(sourceIn(work)) : said;
  }

  function whyMissing({ question }: QuestionMark): Told | undefined {
    const work = cellsOf(question, 'work');
    const stopped = errors.get(question);
    if (stopped?.name === 'Stopped') {
      const said = endsSentence(stopped.message).replace(/^It(?= )/, 'Your function');
      return { message: endlessSaid(said, question), fault: 'stopped' };
    }
    for (const cell of work) {
      const error = errors.get(cell.id);
      if (!error) continue;
      const { message, fault } = faultSaid(error, sourceIn(cell));
      const name = missingName(error);
      return { message: message + (name === undefined ? '' : originOf(name, cell.id)), fault };
    }
    for (const cell of work) {
      const returnedCell = theirs.get(cell.id);
      if (!returnedCell)
        return {
          message:
            'The cell for this answer is not in your notebook: it was deleted. Its text is on the sheet as you were given it.',
          fault: 'deleted',
        };
      if (returnedCell.cell_type !== cell.cell_type)
        return {
          message:
            'The cell for this answer is a text cell in your notebook, and text does not run. Turn it into a code cell again.',
          fault: 'deleted',
        };
    }
    for (const cell of cellsOf(question, 'answer')) {
      const error = errors.get(cell.id);
      if (!error) continue;
      const asked = /,\s*([\p{L}_$][\p{L}\p{N}_$]*)\s*\)/u.exec(sourceOf(cell))?.[1];
      if (asked !== undefined && missingName(error) === asked)
        return {
          message: renamedSaid(
            asked,
            work.flatMap((one) => declaredIn(sourceIn(one))),
          ),
          fault: 'renamed',
        };
      const { message } = faultSaid(error, '');
      return {
        message: message.replace('Your cell', 'The line that hands your answer in'),
        fault: 'error',
      };
    }
    if (failure !== undefined)
      return {
        message: `No answer came out, as the run of the sheet was given up: ${endsSentence(failure)}`,
        fault: 'stopped',
      };
    if (answers.size === 0 && !returned.cells.every((cell) => isUntouched(cell)))
      return nothingHandedIn(question);
    if (!answers.has(question) && answers.size > 0 && isWorkChanged(question))
      return { message: 'No answer to this question came out of the run.', fault: 'error' };
    return undefined;
  }

  const byId = new Map(original.cells.map((cell) => [cell.id, cell]));
  const isUntouched = (cell: Cell) => {
    const returnedCell = byId.get(cell.id);
    return (
      returnedCell !== undefined &&
      (!takesWork(returnedCell) || sourceOf(returnedCell).trim() === sourceOf(cell).trim())
    );
  };

  /** Every answer cell hands something in, if only `blank`. */
  function nothingHandedIn(question: string): Told | undefined {
    if (cellsOf(question, 'answer').length === 0) return undefined;
    return {
      message:
        'The run handed in no answers at all: a cell ended it, or began another sheet or another number.',
      fault: 'error',
    };
  }

  const faultOf = ({ question }: QuestionMark, is: Told['fault']): QuestionMark['fault'] => ({
    is,
    cells: ['work', 'answer']
      .flatMap((role) => cellsOf(question, role))
      .map(({ id }) => id)
      .filter((id) => errors.has(id)),
  });

  const isWorkChanged = (question: string) =>
    cellsOf(question, 'work').some((cell) => sourceIn(cell).trim() !== sourceOf(cell).trim());

  return marks.map((mark) => {
    const { question, state, follows } = mark;
    if (state === 'to be read') return mark;
    const [text] = cellsOf(question, 'written');
    if (text)
      return theirs.has(text.id)
        ? mark
        : {
            ...mark,
            message: 'The cell for this answer is not in your notebook: it was deleted.',
            fault: { is: 'deleted' as const, cells: [] },
          };
    if (state === 'agrees' || follows !== undefined) return mark;
    const answer = answers.get(question);
    const isUntouched = answer !== undefined && isSkeleton(answer);
    if (!answer || answer.is === 'blank' || (isUntouched && !isWorkChanged(question))) {
      const why = whyMissing(mark);
      return why ? { ...mark, message: why.message, fault: faultOf(mark, why.fault) } : mark;
    }
    if (isUntouched)
      return { ...mark, message: 'Your function returns NaN wherever it was tried.' };
    if (answer.is === 'failed' && endless.test(mark.message)) {
      const fault = { is: 'stopped' as const, cells: [] };
      return { ...mark, message: endlessSaid(mark.message, question), fault };
    }
    const inside = answer.is === 'failed' ? errors.get(question) : undefined;
    if (inside?.line !== undefined) {
      const isOwn = cellsOf(question, 'work').some(({ id }) => id === inside.cell);
      const whose = isOwn ? 'your cell' : cellSaid(inside.cell);
      const message = `${endsSentence(mark.message)} It happens in line ${inside.line} of ${whose}.`;
      return { ...mark, message, fault: { is: 'error' as const, cells: [] } };
    }
    // A value came out, and then its cell failed: that may be why it is not the right one.
    const broken = cellsOf(question, 'work').find((cell) => errors.has(cell.id));
    if (!broken) return mark;
    const said = faultSaid(errors.get(broken.id) as Fault, sourceIn(broken));
    return {
      ...mark,
      message: `${said.message} Until then: ${mark.message}`,
      fault: faultOf(mark, said.fault),
    };
  });
}

function renamedSaid(asked: string, declared: readonly string[]): string {
  const others = declared.filter((name) => name !== asked).slice(0, 5);
  const instead =
    others.length > 0
      ? ` Your cell declares ${others.join(', ')}.`
      : ' Your cell declares nothing.';
  return `The answer is handed in as ${asked}, and no cell declares that name: was it renamed?${instead}`;
}

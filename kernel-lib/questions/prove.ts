import { seeded } from '../numerics/random';
import type { PlainAnswer } from './answer';
import { carriedValues, hasNumbers, judgeCarried } from './carried';
import { givensFor } from './draw';
import { judgePlain, kinds } from './judge';
import { proveQuestion } from './prove-question';
import { type AnyKey, type AnyOpenQuestion, openForms } from './sheet';

/** Something that is not as a sheet promises. `student` is empty where it holds for all. */
export interface ProofFailure {
  readonly student: string;
  readonly question: string;
  readonly what: string;
}

export interface Proof {
  readonly sheet: string;
  readonly students: number;
  readonly questions: number;
  readonly slips: number;
  /** How many answers were judged. */
  readonly judged: number;
  readonly failures: readonly ProofFailure[];
  /** The slips that come nearest to what agrees, nearest first, one for a question: where to look when numbers are tight. */
  readonly nearest: readonly NearSlip[];
}

/** A slip of one student that comes near to an answer that agrees. */
export interface NearSlip {
  readonly question: string;
  readonly slip: string;
  readonly student: string;
  /** In tolerances: 1 would agree. */
  readonly times: number;
}

/** What came out of the model notebook: what its cells gave to `check`, by question id, and the cells that failed. */
export interface ModelRun {
  readonly answers: ReadonlyMap<string, PlainAnswer>;
  readonly failed: readonly string[];
}

export interface ProveOptions {
  /** How many student numbers, or which ones. Default 200. */
  readonly students?: number | readonly string[];
  /** Runs the model notebook of a student. */
  readonly runModel?: (student: string, given: object) => Promise<ModelRun>;
  /** Of which students the model notebook is run: every n-th. Default 1, all. */
  readonly runModelEvery?: number;
  readonly onStudent?: (done: number, of: number) => void;
}

/** Numeric questions have at least this many slips. */
const fewestSlips = 3;

/** Student numbers to prove with: 4 to 10 digits, some with leading zeros, always the same ones. */
export function provingStudents(count: number): string[] {
  const random = seeded('student numbers to prove with');
  const numbers = new Set<string>();
  while (numbers.size < count) {
    const length = 4 + random.whole(7);
    numbers.add(Array.from({ length }, () => random.whole(10)).join(''));
  }
  return [...numbers];
}

/**
 * Prove a sheet over many student numbers: every expected value is finite and agrees, also honestly
 * rounded; blank and nonsense earn nothing; each slip is told by its own name and never agrees; what
 * follows from an earlier slip is recognised where the key says so; no hint tells the answer; the
 * model notebook, if it is run, earns full marks.
 *
 * @param key of the sheet
 * @param options how many students, and how to run the model notebook
 * @returns counts and failures; a failure never throws
 */
export async function proveSheet(key: AnyKey, options: ProveOptions = {}): Promise<Proof> {
  const { students = 200, runModel, runModelEvery = 1, onStudent } = options;
  const numbers = typeof students === 'number' ? provingStudents(students) : students;
  const forms = openForms(key);
  const failures: ProofFailure[] = [];
  const occurred = new Set<string>();
  const followed = new Set<string>();
  const nearest = new Map<string, NearSlip>();
  let judged = 0;

  for (const [done, student] of numbers.entries()) {
    const say = (question: string, what: string) => failures.push({ student, question, what });
    const given = provenGivens(key, student, say);
    if (given) {
      for (const question of forms) {
        try {
          const proof = proveQuestion(question, given);
          judged += proof.judged;
          for (const what of proof.failures) say(question.id, what);
          for (const slip of proof.occurring) occurred.add(`${question.id} ${slip}`);
          for (const { slip, times } of proof.rooms)
            if (times < (nearest.get(question.id)?.times ?? Number.POSITIVE_INFINITY))
              nearest.set(question.id, { question: question.id, slip, student, times });
        } catch (error) {
          say(question.id, `a formula of the sheet stops with an error: ${String(error)}`);
        }
      }
      try {
        const proof = proveCarried(key, given);
        judged += proof.judged;
        for (const { question, what } of proof.failures) say(question, what);
        for (const carried of proof.occurring) followed.add(carried.split(' ')[0]);
      } catch (error) {
        say('', `an error carried forward stops with an error: ${String(error)}`);
      }
      if (runModel && done % runModelEvery === 0)
        await proveModel(key, student, given, runModel, say);
    }
    onStudent?.(done + 1, numbers.length);
  }
  failures.push(...slipFailures(key, occurred));
  for (const id of Object.keys(key.carried ?? {}))
    if (!followed.has(id))
      failures.push({ student: '', question: id, what: 'nothing follows from any slip before it' });
  const slips = forms.reduce((sum, question) => sum + question.slips.length, 0);
  return {
    sheet: key.sheet.name,
    students: numbers.length,
    questions: key.sheet.questions.length,
    slips,
    judged,
    failures,
    nearest: [...nearest.values()].sort((a, b) => a.times - b.times),
  };
}

type Say = (question: string, what: string) => void;

/** All givens as text; `onNumber` is told every number. Bytes of a picture are too many to name one by one. */
function textOf(given: object, onNumber: (name: string, value: number) => void): string {
  return JSON.stringify(given, (name, value) => {
    if (typeof value === 'number') onNumber(name, value);
    return value instanceof Uint8Array ? String(value) : value;
  });
}

/** The givens, drawn twice: they must come out the same, and be finite. */
function provenGivens(key: AnyKey, student: string, say: Say): object | undefined {
  try {
    const given = givensFor(key.sheet, student);
    const text = textOf(given, (name, value) => {
      if (!Number.isFinite(value)) say('', `the given ${name} is ${value}`);
    });
    if (text !== textOf(givensFor(key.sheet, student), () => {}))
      say('', 'the givens come out differently when they are drawn again');
    key.sheet.tells?.(given);
    return given;
  } catch (error) {
    say('', `the givens cannot be drawn: ${String(error)}`);
    return undefined;
  }
}

const missing: PlainAnswer = { is: 'blank' };

interface CarriedProof {
  readonly failures: readonly { readonly question: string; readonly what: string }[];
  /** `2.8 SLIP` of each slip of an earlier question from which something follows for this student. */
  readonly occurring: readonly string[];
  readonly judged: number;
}

/**
 * Prove for one student what a key says of errors carried forward: what follows from the right earlier answer is the
 * right answer; what follows from each slip of the earlier question is recognised, also honestly rounded, and earns what
 * the key says, and twice that value does not; nothing follows from an empty or a senseless answer.
 */
function proveCarried(key: AnyKey, given: object): CarriedProof {
  const failures: { question: string; what: string }[] = [];
  const occurring: string[] = [];
  const forms = openForms(key);
  let judged = 0;
  for (const [id, carried] of Object.entries(key.carried ?? {})) {
    const say = (what: string) => failures.push({ question: id, what });
    const form = forms.find((one) => one.id === id);
    const earlier = forms.find((one) => one.id === carried.follows);
    if (!hasNumbers(form) || !hasNumbers(earlier)) continue;
    /** Values as a student hands them in, written down as a run would. */
    const plainFrom = (question: AnyOpenQuestion, values: readonly number[], share = 1) =>
      kinds[question.kind].plain?.(question, given, values, share) ?? missing;
    const agrees = (answer: PlainAnswer) => judgePlain(form, given, answer).state === 'agrees';
    const marksOf = (answer: PlainAnswer, before: PlainAnswer) => {
      judged += 1;
      const answers = new Map([
        [id, answer],
        [carried.follows, before],
      ]);
      return judgeCarried(key, id, given, answers)?.marks;
    };
    const right = [earlier.expected(given)].flat();
    const own = [form.expected(given)].flat();
    const onward = carriedValues(carried, given, right);
    if (!onward || !agrees(plainFrom(form, onward)))
      say(`what follows from the right answer to ${carried.follows} does not agree`);
    const fromRight = plainFrom(earlier, right);
    for (const odd of [{ is: 'blank' }, { is: 'number', value: 'NaN' }, { is: 'text', text: '' }])
      if (marksOf(odd as PlainAnswer, fromRight) !== undefined)
        say(`an answer that is ${odd.is} is taken for one that follows`);
    for (const slip of earlier.slips) {
      const wrong = [slip.value(given)].flat().map((one, i) => one ?? right[i]);
      const values = wrong.every(Number.isFinite)
        ? carriedValues(carried, given, wrong)
        : undefined;
      if (!values) continue;
      occurring.push(`${id} ${slip.name}`);
      const before = plainFrom(earlier, wrong);
      const share = Math.abs(values[0] / own[0]);
      for (const handed of [values, kinds[form.kind].rounded?.(form, values)]) {
        if (!handed) continue;
        const answer = plainFrom(form, handed, share);
        if (!agrees(answer) && marksOf(answer, before) !== carried.marks)
          say(`what follows from the slip “${slip.name}” of ${carried.follows} is not recognised`);
      }
      const doubled = values.map((value) => 2 * value);
      if (marksOf(plainFrom(form, doubled, share), before) !== undefined)
        say(
          `twice what follows from the slip “${slip.name}” of ${carried.follows} is taken for it`,
        );
    }
  }
  return { failures, occurring, judged };
}

async function proveModel(
  key: AnyKey,
  student: string,
  given: object,
  runModel: NonNullable<ProveOptions['runModel']>,
  say: Say,
): Promise<void> {
  try {
    const { answers, failed } = await runModel(student, given);
    for (const what of failed) say('', `the model notebook fails in ${what}`);
    for (const question of openForms(key)) {
      const answer = answers.get(question.id);
      if (!answer) {
        say(question.id, 'the model notebook gives no answer');
        continue;
      }
      const verdict = judgePlain(question, given, answer);
      if (verdict.state !== 'agrees')
        say(question.id, `the model answer is judged ${verdict.state}: ${verdict.message}`);
    }
  } catch (error) {
    say('', `the model notebook does not run: ${String(error)}`);
  }
}

/** What can be said of slips only after all students: too few, or one that never happens. */
function slipFailures(key: AnyKey, occurred: ReadonlySet<string>): ProofFailure[] {
  return openForms(key).flatMap(({ id, kind, slips }) => {
    if (kind === 'word') return [];
    const names: string[] = slips.map(({ name }) => name);
    const what = names
      .filter((name) => !occurred.has(`${id} ${name}`))
      .map((name) => `the slip “${name}” has no finite value for any student`);
    if (kind === 'number' && names.length < fewestSlips)
      what.push(`it has ${names.length} slips; a numeric question has at least ${fewestSlips}`);
    return what.map((each) => ({ student: '', question: id, what: each }));
  });
}

import { type Cell, type Notebook, sourceOf, tagOf } from '../../../kernel-lib/notebook/notebook';
import { type Random, seeded } from '../../../kernel-lib/numerics/random';
import { givensFor } from '../../../kernel-lib/questions/draw';
import { openForms } from '../../../kernel-lib/questions/sheet';
import { keyOf, originalOf, returnOf } from '../class-for-test';
import {
  failingAnswer,
  followed,
  followingAnswer,
  type MadeAnswer,
  slipAnswer,
  typedRight,
  wrongAnswer,
} from './answers';
import { none, type QuestionTruth } from './truth';

export interface MadeReturn {
  readonly notebook: Notebook;
  readonly questions: Readonly<Record<string, QuestionTruth>>;
}

type Truths = Record<string, QuestionTruth>;

/** A work or written cell of a sheet, its question, and the name that the question's check asks for. */
interface AnswerCell {
  readonly id: string;
  readonly question: string;
  readonly name?: string;
}

const known = new Map<string, readonly AnswerCell[]>();

function answerCells(sheet: string): readonly AnswerCell[] {
  const cells = known.get(sheet) ?? findAnswerCells(originalOf(sheet).cells);
  known.set(sheet, cells);
  return cells;
}

function findAnswerCells(cells: readonly Cell[]): AnswerCell[] {
  const names = new Map(
    cells.map((cell) => {
      const [, question = '', name = ''] =
        /^check\('([^']+)', ([\w$]+)\)/.exec(sourceOf(cell)) ?? [];
      return [question, name];
    }),
  );
  return cells.flatMap((cell): AnswerCell[] => {
    const { role, question = '' } = tagOf(cell) ?? {};
    if (role === 'written') return [{ id: cell.id, question }];
    const name = names.get(question);
    return role === 'work' && name ? [{ id: cell.id, question, name }] : [];
  });
}

const topNames = (source: string) =>
  [...source.matchAll(/^(?:const|let|var|function)\s+(\[[^\]]*\]|\{[^}]*\}|[\w$]+)/gm)].flatMap(
    ([, names]) => names.match(/[\w$]+/g) ?? [],
  );

/** Every question by itself: with the model's code, typed, by a slip, wrong, blank, or in a cell that fails. */
export function mixedReturn(sheet: string, student: string, seed: string): MadeReturn {
  const key = keyOf(sheet);
  const random = seeded(`${seed}/${sheet}/${student}`);
  const given = givensFor(key.sheet, student);
  const diligence = random.uniform();
  const isDone = diligence < 0.25;
  const isHardlyBegun = diligence > 0.9;
  const sources: Record<string, string> = {};
  const questions: Truths = {};
  const lost = new Set<string>();
  const deleted = new Set<string>();
  const typedValues = new Map<string, readonly number[]>();
  /** Leave a cell as handed out, or with another answer: what the model declares there is not there. */
  const put = (id: string, { source, truth, values, isDeleted }: MadeAnswer, question: string) => {
    if (values) typedValues.set(question, values);
    if (isDeleted) deleted.add(id);
    for (const name of topNames(key.model[id] ?? '')) lost.add(name);
    if (source !== undefined) sources[id] = source;
    questions[question] = truth;
  };
  for (const { id, question, name } of answerCells(sheet)) {
    const asked = key.sheet.questions.find((one) => one.id === question);
    if (!asked) throw new Error(`${sheet} has no question ${question}`);
    const model = key.model[id];
    const luck = isDone ? 0 : random.uniform() * (isHardlyBegun ? 3 : 1);
    if (asked.kind === 'written') {
      questions[question] = luck < 0.8 ? { state: 'to be read', marks: 0 } : none;
      if (luck < 0.8)
        sources[id] =
          random.uniform() < 0.5 ? model : `In my view, ${student.slice(-2)} times: no.`;
      continue;
    }
    if (name === undefined) continue;
    const open = asked.kind === 'sealed' ? key.sealed[question] : asked;
    const needs = (model.match(/[\w$]+/g) ?? []).some((word) => lost.has(word));
    const byModel: MadeAnswer = { source: model, truth: { state: 'agrees', marks: open.marks } };
    if (luck < 0.4 && !needs) {
      sources[id] = model;
      questions[question] = byModel.truth;
    } else if (luck < 0.6) {
      const right = typedRight(open, given, name);
      if (!right && needs) throw new Error(`The model of ${question} needs what is not there.`);
      put(id, right ?? byModel, question);
    } else if (luck < 0.85 && following(question)) put(id, following(question)!, question);
    else if (luck < 0.78)
      put(id, slipAnswer(open, given, name, random) ?? { truth: none }, question);
    else if (luck < 0.85) put(id, wrongAnswer(open, given, name, random), question);
    else if (luck < 0.9) put(id, failingAnswer(name, random), question);
    else put(id, { truth: none }, question);
  }
  for (const [id, carried] of Object.entries(key.carried ?? {})) {
    // By chance a slip, too, may be what follows from the one before it.
    const values = typedValues.get(id);
    const due = values && following(id)?.values;
    const isNear = due?.every((value, i) => Math.abs(values![i] / value - 1) < 1e-6);
    const form = openForms(key).find((one) => one.id === id);
    if (isNear && form && questions[id].state === 'not yet')
      questions[id] = followed(form, carried);
  }
  const notebook = returnOf(sheet, student, sources);
  const cells = notebook.cells.filter(({ id }) => !deleted.has(id));
  return { notebook: { ...notebook, cells }, questions };

  /** An answer that is right for the wrong one that was typed before. */
  function following(question: string): MadeAnswer | undefined {
    const carried = key.carried?.[question];
    const earlier = carried && typedValues.get(carried.follows);
    const form = openForms(key).find((one) => one.id === question);
    const name = answerCells(sheet).find((cell) => cell.question === question)?.name;
    return carried && earlier && form && name
      ? followingAnswer(form, given, name, carried, earlier)
      : undefined;
  }
}

/** All model answers, with passages in between that nobody else would write. */
export function peculiarReturn(sheet: string, student: string, seed: string): MadeReturn {
  const random = seeded(`peculiar/${sheet}/${seed}`);
  const key = keyOf(sheet);
  const sources: Record<string, string> = { ...key.model };
  const questions: Truths = {};
  for (const { id, question, name } of answerCells(sheet)) {
    if (name !== undefined) sources[id] = `${ownPassage(random)}\n${key.model[id]}`;
    const { marks } = key.sheet.questions.find((one) => one.id === question) ?? { marks: 0 };
    questions[question] = name ? { state: 'agrees', marks } : { state: 'to be read', marks: 0 };
  }
  return { notebook: returnOf(sheet, student, sources), questions };
}

function ownPassage(random: Random): string {
  const word = () => `own${random.whole(1e6)}`;
  const number = () => (random.uniform() * 100).toFixed(3);
  const [list, each, other] = [word(), word(), word()];
  return `const ${list} = [${number()}, ${number()}, ${number()}].map((${each}) => ${each} * ${number()} + ${number()})
  .filter((${other}) => ${other} > ${number()});`;
}

/** A return whose first answer never ends: it costs that question, and the others stand. */
export function endlessReturn(sheet: string, student: string): MadeReturn {
  const { notebook, questions } = peculiarReturn(sheet, student, student);
  const last = answerCells(sheet).findLast(({ name }) => name !== undefined);
  if (!last) throw new Error(`${sheet} asks for nothing`);
  const cells = notebook.cells.map(
    (cell): Cell =>
      cell.id === last.id ? { ...cell, source: `while (true) {}\nconst ${last.name} = 3;` } : cell,
  );
  return {
    notebook: { ...notebook, cells },
    questions: {
      ...questions,
      [last.question]: { ...none, fault: 'stopped', says: 'Look at the loop in line 1' },
    },
  };
}

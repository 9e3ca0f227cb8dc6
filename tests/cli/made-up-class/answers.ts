import type { Random } from '../../../kernel-lib/numerics/random';
import { toUnit } from '../../../kernel-lib/quantity/known-unit';
import type { AnyCarried, AnyOpenQuestion } from '../../../kernel-lib/questions/sheet';
import { functionSlips } from './function-slips';
import { none, type QuestionTruth } from './truth';

/** A made-up answer: code of its cell (left as it was handed out where undefined), and what it must earn. */
export interface MadeAnswer {
  readonly source?: string;
  readonly truth: QuestionTruth;
  /** What was typed, SI, where that are numbers. */
  readonly values?: readonly number[];
  /** The cell is not in the notebook any more. */
  readonly isDeleted?: true;
}

type WithNumbers = Extract<AnyOpenQuestion, { kind: 'number' | 'list' }>;

const pick = <T>(list: readonly T[], random: Random): T => list[random.whole(list.length)];

/** Numbers as a student types them: in the question's unit, with uncertainties where they are asked for. */
function typed(question: WithNumbers, given: object, values: readonly number[], digits: number) {
  const { unit } = question;
  const sound = [question.uncertainty?.(given)].flat();
  const items = values.map((value, i) => {
    const number = toUnit(value, unit);
    if ('uncertainties' in question.tolerance)
      return `{ value: ${number}, u: ${toUnit(sound[i] ?? 0, unit)} }`;
    return String(Number(number.toPrecision(digits)));
  });
  return question.kind === 'list' ? `[${items.join(', ')}]` : items[0];
}

/** The right value, rounded as the sheet says that an honest student may round; undefined for a function. */
export function typedRight(
  question: AnyOpenQuestion,
  given: object,
  name: string,
): MadeAnswer | undefined {
  const truth: QuestionTruth = { state: 'agrees', marks: question.marks };
  if (question.kind === 'function') return undefined;
  const value =
    question.kind === 'word'
      ? JSON.stringify(question.accepts(given)[0].toUpperCase())
      : typed(question, given, [question.expected(given)].flat(), question.digits ?? 3);
  return { source: `const ${name} = ${value};`, truth };
}

/** One of the sheet's slips; undefined where this student can make none. */
export function slipAnswer(
  question: AnyOpenQuestion,
  given: object,
  name: string,
  random: Random,
): MadeAnswer | undefined {
  if (question.slips.length === 0) return undefined;
  const slip = pick<{ name: string; hint: unknown }>(question.slips, random);
  const hint = typeof slip.hint === 'string' ? { hint: slip.hint } : {};
  const truth: QuestionTruth = { ...none, slip: slip.name, ...hint };
  if (question.kind === 'function') {
    const source = functionSlips[question.id]?.[slip.name];
    if (source === undefined)
      throw new Error(`The slip "${slip.name}" of ${question.id} is not written as code yet.`);
    return { source, truth };
  }
  if (question.kind === 'word') {
    const words = question.slips.find((one) => one.name === slip.name)?.words ?? [];
    const [word = ''] = typeof words === 'function' ? words(given) : words;
    const isRight = question.accepts(given).some((right) => right.toLowerCase() === word);
    return isRight ? undefined : { source: `const ${name} = ${JSON.stringify(word)};`, truth };
  }
  const right = [question.expected(given)].flat();
  const wrong = [question.slips.find((one) => one.name === slip.name)?.value(given) ?? []].flat();
  const values = wrong.map((value, i) => value ?? right[i]);
  if (!values.every(Number.isFinite)) return undefined;
  return { source: `const ${name} = ${typed(question, given, values, 9)};`, truth, values };
}

/** A value that is neither right nor any slip: a fifth away from each of them, or no number at all. */
export function wrongAnswer(
  question: AnyOpenQuestion,
  given: object,
  name: string,
  random: Random,
): MadeAnswer {
  const said = (value: string): MadeAnswer => ({
    source: `const ${name} = ${value};`,
    truth: none,
  });
  if (question.kind === 'function')
    return said(
      pick(['(..._: number[]) => 0.123', '7', '(..._: number[]) => NaN', "'sin'"], random),
    );
  if (question.kind === 'word') return said(pick(["'a kind of blue cheese'", '5', 'null'], random));
  const odd = ['-7.77e7', "'about three'", '[1, 2, 3, 4, 5, 6, 7, 8, 9]', 'NaN', '{ value: 3 }'];
  if (random.uniform() < 0.5) return said(pick(odd, random));
  const right = [question.expected(given)].flat();
  const known = [right, ...question.slips.map(({ value }) => [value(given)].flat())];
  const factor = [0.37, 1.43, 5.3, 0.113, 23.7].find((one) => {
    const value = one * right[0];
    return known.every(([other = right[0]]) => !(Math.abs(value - other) < 0.2 * Math.abs(other)));
  });
  if (factor === undefined || right.some((value) => value === 0)) return said(odd[0]);
  const values = right.map((value) => factor * value);
  return { ...said(typed(question, given, values, 9)), values };
}

/** What is right for a student who gave `earlier` before; undefined where nothing follows from that. */
export function followingAnswer(
  question: AnyOpenQuestion,
  given: object,
  name: string,
  carried: AnyCarried,
  earlier: readonly number[],
): MadeAnswer | undefined {
  if (question.kind !== 'number' && question.kind !== 'list') return undefined;
  const values = [carried.value(given, earlier)].flat();
  if (!values.every((value) => Number.isFinite(value) && value !== 0)) return undefined;
  const source = `const ${name} = ${typed(question, given, values, 9)};`;
  const right = [question.expected(given)].flat();
  const sound = [question.uncertainty?.(given) ?? 0].flat();
  // From some errors the right answer follows all the same.
  const isRight = values.every((value, i) => {
    const { tolerance } = question;
    const off = Math.abs(value - right[i]);
    if ('whole' in tolerance) return off < 0.5;
    if ('relative' in tolerance) return off <= tolerance.relative * Math.abs(right[i]);
    return (
      off <= ('absolute' in tolerance ? tolerance.absolute : tolerance.uncertainties * sound[i])
    );
  });
  const truth: QuestionTruth = isRight
    ? { state: 'agrees', marks: question.marks }
    : followed(question, carried);
  return { source, truth, values };
}

/** What an answer earns that follows from an earlier one. */
export const followed = (
  { marks: outOf }: AnyOpenQuestion,
  { marks, follows }: AnyCarried,
): QuestionTruth => ({ state: marks === outOf ? 'agrees' : 'not yet', marks, follows });

/** A cell that fails, in the ways cells fail, with what must be said of it. */
export function failingAnswer(name: string, random: Random): MadeAnswer {
  const failing = (source: string, says: string): MadeAnswer => ({
    source,
    truth: { ...none, fault: 'error', says },
  });
  const answers: readonly MadeAnswer[] = [
    failing(
      `const ${name} = (() => { throw new Error('I lost my way'); })();`,
      'stops with an error in line 1: Error: I lost my way',
    ),
    failing(`const ${name}: number = 'twelve';`, "line 1: Type 'string' is not assignable"),
    failing(`\nconst ${name} = 3 +;`, 'line 2: Expression expected'),
    failing(`const ${name} = wavelenght / 2;`, "line 1: Cannot find name 'wavelenght'"),
    failing(`const ${name} = JSON.parse('{').value;`, 'stops with an error in line 1: SyntaxError'),
    failing(`process.exit(3);\nconst ${name} = 3;`, 'in line 1: '),
    {
      source: `const my${name} = 3;`,
      truth: { ...none, fault: 'renamed', says: `Your cell declares my${name}.` },
    },
    { isDeleted: true, truth: { ...none, fault: 'deleted', says: 'it was deleted' } },
  ];
  return pick(answers, random);
}

import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { findKey, originalNotebook, sheetNames } from '../../kernel-lib/kernel/sheets';
import {
  codeCells,
  joinLines,
  type Notebook,
  type Output,
  sourceOf,
  withSources,
  withStudentNumber,
} from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { placeIn, withMessage } from '../../kernel-lib/page/sheet/outputs';
import type { PlainAnswer, PlainNumber } from '../../kernel-lib/questions/answer';
import { givensFor } from '../../kernel-lib/questions/draw';
import { kinds, samplingOf } from '../../kernel-lib/questions/judge';
import { type AnyKey, type AnyOpenQuestion, openForms } from '../../kernel-lib/questions/sheet';
import { startKernel } from '../kernel/kernel';
import type { Tab } from './engines';
import { runCells, type Told } from './kernel-page';

// What a cell brings forth in a browser is what it brings forth in the kernel on Node.

const student = '204117';
/** Whether nothing is left out. */
const whole = Boolean(process.env.MULTISLIT_ALL_SHEETS);

/** Cells that run one after the other in a session of their own. */
interface Program {
  readonly name: string;
  readonly cells: readonly {
    readonly what: string;
    readonly source: string;
    /** Whether its error is in the words of the engine, which are others in each and with each version. */
    readonly isEngines?: boolean;
  }[];
}

const number = (value: PlainNumber) => (typeof value === 'number' ? `(${value})` : value);

/** An answer as a student would write it into a cell. */
function written(answer: PlainAnswer, question: AnyOpenQuestion, given: object): string {
  if (answer.is === 'number') return number(answer.value);
  if (answer.is === 'measured') return `lib.measured(${number(answer.value)}, ${number(answer.u)})`;
  if (answer.is === 'text') return JSON.stringify(answer.text);
  if (answer.is === 'list')
    return `[${answer.items.map((one) => written(one, question, given)).join(', ')}]`;
  if (answer.is !== 'samples') throw new Error(`No cell says ${answer.is}.`);
  const points = samplingOf(question, given)?.points ?? [];
  return `(...at: number[]) => [${answer.values.map(number)}][(${JSON.stringify(points)} as number[][]).findIndex((point) => point.every((x, n) => x === at[n]))]`;
}

/** Every wrong way that the sheet knows, and answers that are none, a cell for each question. */
function slipCells(key: AnyKey, given: object): Program['cells'] {
  return openForms(key).map((question) => {
    const { plain, worked } = kinds[question.kind];
    const values = worked?.(question, given).slips.map(({ value }) => value) ?? [];
    const slips: PlainAnswer[] = plain
      ? values
          .filter((value) => value.every(Number.isFinite))
          .map((value) => plain(question, given, value))
      : [];
    if (question.kind === 'word')
      for (const { words } of question.slips)
        slips.push(
          ...(typeof words === 'function' ? words(given) : words).map(
            (text): PlainAnswer => ({ is: 'text', text }),
          ),
        );
    const answers = [
      ...slips.map((slip) => written(slip, question, given)),
      ...['Number.NaN', '"0,32"', '[]', '{}', '() => { throw new Error("on purpose"); }'],
    ];
    const checks = answers.map((text) => `lib.check('${question.id}', ${text});`);
    return {
      what: `slips of ${question.id}`,
      source: `import * as lib from 'multislit';\n${checks.join('\n')}`,
    };
  });
}

/** A sheet as it is handed out, then with its model answers, then every slip, then each cell with an error at its end. */
function sheetProgram(name: string): Program {
  const key = findKey(name)!;
  const original = readNotebook(readFileSync(originalNotebook(name)!, 'utf8'));
  const done = withStudentNumber(withSources(original, key.model), student);
  const cellsOf = (notebook: Notebook, how: string) =>
    codeCells(notebook).map((cell) => ({ what: `${cell.id}, ${how}`, source: sourceOf(cell) }));
  const answered = cellsOf(done, 'with its model answer');
  const provoked = answered
    .map(({ source }, n) => {
      const end =
        n % 2 === 0 ? 'throw new RangeError("provoked");' : '(undefined as any).provoked;';
      return {
        what: `cell ${n}, then an error`,
        source: `${source}\n\n${end}`,
        isEngines: n % 2 === 1,
      };
    })
    .filter((_, n) => whole || n % 3 === 0);
  return {
    name,
    cells: [
      ...cellsOf(original, 'blank'),
      ...answered,
      ...slipCells(key, givensFor(key.sheet, student)),
      ...provoked,
    ],
  };
}

/** What goes wrong, or is printed, in ways that sheets do not. */
const mishaps = [
  'const slitWidth = 40e-6;\nslitWidht * 2;',
  'let n: number = "three";',
  'const open = (1 + 2;',
  "import { slits, nm } from 'multislit';\nslits(-1, { width: nm(1), spacing: 1 });",
  "import { unit } from 'multislit';\nunit('3 parsnips');",
  'function inner() {\n  throw new Error("deep");\n}\nfunction outer() {\n  inner();\n}',
  'console.log("before");\nouter();',
  '[3, 1].map((value) => {\n  if (value < 2) throw new RangeError("small: " + value);\n  return value;\n});',
  'class Bench {\n  get light(): number {\n    throw new TypeError("no lamp");\n  }\n}\nnew Bench().light;',
  'async function later() {\n  await new Promise((done) => setTimeout(done, 1));\n  throw new Error("late");\n}',
  'await later();',
  'await new Promise(() => setTimeout(() => { throw new Error("in a timer"); }, 1));',
  'Promise.reject(new Error("left alone"));',
  'Promise.reject(new Error("first"));\nthrow new Error("second");',
  'console.log("after a rejection");',
  'throw new Error("outside", { cause: new RangeError("inside") });',
  'throw new AggregateError([new Error("a"), new TypeError("b")], "several");',
  'throw null;',
  'throw { name: "Odd", message: "an object" };',
  'throw 3;',
  'console.table([{ a: 1, b: "x" }, { a: 2, c: true }]);\nconsole.table(new Map([["k", 1]]));',
  'console.log(new Map([[1, { a: [1, 2] }]]), new Set("ab"), [1, , 3], -0, 10n, Symbol("s"));',
  'console.log("%s is %d", "x", 2.5, { deep: { deep: { deep: { deep: 1 } } } });\nconsole.error("to stderr");',
  'console.group("g"); console.warn("in"); console.groupEnd(); console.assert(false, "no"); console.count();',
  'console.dir({ a: { b: { c: { d: 1 } } } }, { depth: 0 });',
  'function tell() {\n  try { outer(); } catch (error) { console.log(error); }\n}\ntell();',
  'new Error("shown")',
  '({ inside: new RangeError("an object") })',
  'new Float64Array([1, 2.5])',
  'new Date(0)',
  '(function named() {})',
  'class A {}; [A, new A(), /x/g]',
  '"text\\nwith a line"',
  'let count = 0; for (const c of "aXb") count += c === "X" ? 1 : 0; count',
];
/** Where each line's error is in the words of the engine. */
const engineMishaps = [
  'const endless = (): number => endless() + 1;\nendless();',
  '1;\n(null as any).x;',
  '1;\n(undefined as any)();',
  'const fixed = 1;\n(() => { (fixed as any) = 2; })();',
  'JSON.parse("{");',
  '1;\n\nnew Array(-1);',
  '1;\n(1).toFixed(200);',
  'BigInt(1.5);',
  'decodeURIComponent("%");',
  '1;\nnull instanceof (3 as any);',
  'const { a } = undefined as any;',
  '[...(3 as any)];',
  'class B { constructor() { (this as any).x.y = 1; } }\nnew B();',
  '1;\n(1 as any) in (2 as any);',
  'new (class C extends (Object as any) { m() { super.none(); } })().m();',
];
const mishapProgram: Program = {
  name: 'what goes wrong',
  cells: [
    ...mishaps.map((source) => ({ what: source, source })),
    ...engineMishaps.map((source) => ({ what: source, source, isEngines: true })),
  ],
};

/** One run, in the words of a notebook: streams joined, the outputs' own types alone, where the error lies. */
interface CameOut {
  readonly outputs: readonly Output[];
  readonly line?: number;
}

const kept = /^(?:stream|display_data|update_display_data|execute_result|error)$/;

function cameOut(messages: Told): CameOut {
  const outputs = messages
    .filter(({ header }) => kept.test(header.msg_type))
    .reduce<Output[]>(withMessage, [])
    .map((one) => (one.output_type === 'stream' ? { ...one, text: joinLines(one.text) } : one));
  return { outputs, line: placeIn(outputs)?.line };
}

async function onNode({ cells }: Program): Promise<CameOut[]> {
  const kernel = await startKernel();
  try {
    const all: CameOut[] = [];
    for (const { source } of cells) {
      const { messages } = await kernel.run(source);
      all.push(cameOut(messages.map(({ header, content }) => ({ header, content }))));
    }
    return all;
  } finally {
    await kernel.stop();
  }
}

/** Without columns, which each engine has its own mind about, and numbers to nine digits, since sines differ in the last. */
const rounded = (text: string) =>
  text
    .replace(/(line \d+), column \d+/g, '$1')
    .replace(/-?\d+\.\d{6,}(?:e[-+]?\d+)?/g, (number) => String(Number(number).toPrecision(9)));

/** What other engines than Node's have in common with it: all but their stacks, columns and last digits. */
function inCommon({ outputs, line }: CameOut): CameOut {
  const common = outputs.map((one): Output => {
    if (one.output_type === 'error') return { ...one, traceback: [] };
    const text = JSON.stringify(one, (key, value) =>
      key === 'image/png' ? String(value).slice(0, 8) : value,
    );
    return JSON.parse(rounded(text));
  });
  return { outputs: common, line };
}

const withoutWords = ({ outputs, line }: CameOut): CameOut => ({
  outputs: outputs.map((one) =>
    one.output_type === 'error' ? { ...one, evalue: '', traceback: [] } : one,
  ),
  line,
});

/** An SVG inside a page, as its text. */
const unpacked = (html: string) =>
  html.replace(/data:image\/svg\+xml;base64,([\w+/=]+)/g, (_, packed: string) =>
    Buffer.from(packed, 'base64').toString(),
  );

/** Drawings without their numbers, and these by themselves: a fit whose last digit differs moves a line by a hundredth of a pixel. */
function apart(all: readonly unknown[]): { words: unknown; numbers: number[] } {
  const numbers: number[] = [];
  const words: unknown = JSON.parse(JSON.stringify(all), (key, value) =>
    key === 'image/svg+xml' || key === 'text/html'
      ? unpacked(String(value)).replace(/\d+(?:\.\d+)?/g, (number) => {
          numbers.push(Number(number));
          return '#';
        })
      : value,
  );
  return { words, numbers };
}

/** @param isNodes whether the engine is the one that Node has */
export function alike(tab: () => Tab, isNodes: boolean): void {
  const sheets = sheetNames().filter((_, n) => whole || isNodes || n === 1 || n === 4);
  const programs = [mishapProgram, ...sheets.map(sheetProgram)];
  test.each(programs)('$name: as on Node', async (program) => {
    const there = onNode(program);
    const sources = program.cells.map(({ source }) => source);
    const here = (await runCells(tab(), sources)).map(cameOut);
    const told = (all: readonly CameOut[]) =>
      all.map((one, n) => {
        const { what, isEngines } = program.cells[n];
        const common = isNodes ? one : inCommon(one);
        return { what, ...(isEngines ? withoutWords(common) : common) };
      });
    const [seen, wanted] = [told(here), told(await there)].map(apart);
    expect(seen.words).toEqual(wanted.words);
    const farthest = seen.numbers.map((number, n) => Math.abs(number - wanted.numbers[n]));
    expect(farthest.reduce((most, by) => Math.max(most, by), 0)).toBeLessThan(0.015);
  });
}

import { tmpdir } from 'node:os';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { keepOutput } from '../../kernel-lib/cells/run/run-notebook';
import { createRuntime } from '../../kernel-lib/cells/run/runtime';
import { createSession, type RunOptions, type Session } from '../../kernel-lib/cells/run/session';
import { nodeHost } from '../../kernel-lib/kernel/node-host';
import { nodeConverter } from '../../kernel-lib/kernel/node-session';
import type { Output } from '../../kernel-lib/notebook/notebook';

// What is expected is what a marker finds: the texts that stand there at last, run once from the top in a session that
// has seen nothing else. An answer that is right there agrees here, and none that is not.

const right = '(Math.asin(given.wavelength / given.width) * 180) / Math.PI';
const begin =
  "import { begin, check } from 'multislit';\nconst given = begin('02-one-slit', '204117');";
const answer = "check('2.1', firstDarkLine);";
const asked = `const firstDarkLine = ${right};`;

/** A run of a cell by its name, and the text it then has; `undefined` for a cell that is taken away. */
type Step = readonly [cell: string, text: string | undefined];

interface Case {
  readonly steps: readonly Step[];
  /** Cells from the top down. */
  readonly order: readonly string[];
  /** What a reader must find in what is said in the place of a verdict. */
  readonly says?: readonly (string | RegExp)[];
}

const start: readonly Step[] = [
  ['top', begin],
  ['w', asked],
  ['a', answer],
];
const usual = ['top', 'w', 'a'];

const cases: Readonly<Record<string, Case>> = {
  'nothing was changed': { steps: start, order: usual },
  renamed: {
    steps: [...start, ['w', `const darkLine = ${right};`], ['a', answer]],
    order: usual,
    says: ['firstDarkLine', 'const darkLine = ', /from the top/],
  },
  'renamed and named back': {
    steps: [...start, ['w', `const darkLine = ${right};`], ['w', asked], ['a', answer]],
    order: usual,
  },
  emptied: {
    steps: [...start, ['w', ''], ['a', answer]],
    order: usual,
    says: ['firstDarkLine', 'empty'],
  },
  'left behind by its own cell': {
    steps: [
      ['top', begin],
      ['w', `const sine = ${right};`],
      ['w', 'const firstDarkLine = sine;'],
      ['a', answer],
    ],
    order: usual,
    says: [/^Not checked: firstDarkLine is computed from sine/, 'const firstDarkLine = sine;'],
  },
  'two cells before it': {
    steps: [
      ['top', begin],
      ['k', 'const factor = 180 / Math.PI;'],
      ['h', 'const inDegrees = (x: number) => x * factor;'],
      ['w', 'const firstDarkLine = inDegrees(Math.asin(given.wavelength / given.width));'],
      ['a', answer],
      ['k', 'const perRadian = 180 / Math.PI;'],
      ['a', answer],
    ],
    order: ['top', 'k', 'h', 'w', 'a'],
    says: [/^Not checked: firstDarkLine is computed from factor/, 'const perRadian'],
  },
  'moved into another cell': {
    steps: [...start, ['w', 'const other = 1;'], ['v', asked], ['a', answer]],
    order: ['top', 'w', 'v', 'a'],
  },
  'the cell was taken away': {
    steps: [...start, ['w', undefined], ['a', answer]],
    order: ['top', 'a'],
    says: ['firstDarkLine', 'removed'],
  },
  'the cell does not convert any more': {
    steps: [...start, ['w', 'const firstDarkLine = (3;'], ['a', answer]],
    order: usual,
    says: ['firstDarkLine', 'error', 'const firstDarkLine = (3;'],
  },
  'the cell fails before it comes to that': {
    steps: [...start, ['w', `throw new Error('no'); ${asked}`], ['a', answer]],
    order: usual,
    says: ['firstDarkLine', 'error'],
  },
  'the cell fails behind it': {
    steps: [
      ['top', begin],
      ['w', `const firstDarkLine = ${right}; throw new Error('behind');`],
      ['a', answer],
    ],
    order: usual,
  },
  'declared further down only': {
    steps: [
      ['top', begin],
      ['v', asked],
      ['a', answer],
    ],
    order: ['top', 'a', 'v'],
    says: ['firstDarkLine', 'further down'],
  },
  'declared above and again further down': {
    steps: [...start, ['v', `let firstDarkLine = ${right};`], ['a', answer]],
    order: ['top', 'w', 'a', 'v'],
  },
  'a name of the answer cell’s own': {
    steps: [...start, ['a', `const mine = firstDarkLine; check('2.1', mine);`]],
    order: usual,
  },
};

const plain = (outputs: readonly Output[]) =>
  outputs
    .flatMap((one) => ('data' in one ? [String(one.data?.['text/plain'] ?? '')] : []))
    .join('\n');

describe('a check counts what cells that stand there declare', () => {
  const runtime = createRuntime(nodeHost());
  let converter: Awaited<ReturnType<typeof nodeConverter>>;
  beforeAll(async () => {
    converter = await nodeConverter(tmpdir());
  });
  afterAll(() => converter.close());

  const sessionOf = (): Session =>
    createSession(runtime, {
      cwd: tmpdir(),
      converter,
      onOutput: (output, tag) => keepOutput(tag as Output[], output, []),
    });
  async function run(session: Session, text: string, options: RunOptions): Promise<string> {
    const outputs: Output[] = [];
    await session.run(text, { ...options, tag: outputs });
    return plain(outputs);
  }

  /** What the last run showed, as a page with these cells asks for it. */
  async function seen({ steps, order }: Case): Promise<string> {
    const session = sessionOf();
    let last = '';
    for (const [cell, text] of steps)
      if (text !== undefined) last = await run(session, text, { cell, cells: order });
    session.close();
    return last;
  }

  async function marked({ steps, order }: Case): Promise<string> {
    const texts = new Map(steps);
    const session = sessionOf();
    let checked = '';
    for (const cell of order) {
      const shown = await run(session, texts.get(cell) ?? '', {});
      if (cell === 'a') checked = shown;
    }
    session.close();
    return checked;
  }

  test.each(Object.entries(cases))('%s', async (_, one) => {
    const agreed = /^Agrees\./.test(await marked(one));
    // Each case says of itself whether it is one of those.
    expect(agreed).toBe(one.says === undefined);
    const last = await seen(one);
    expect([last, /^Agrees\./.test(last)]).toEqual([last, agreed]);
    for (const part of one.says ?? []) expect(last).toMatch(part);
  });
});

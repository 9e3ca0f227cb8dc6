import { expect, test } from 'vitest';
import type { Tab } from './engines';
import { type KernelPage, ranOf, runCells } from './kernel-page';

// What runs and runs is stopped, wherever it may be: at its next tick, or with all that runs it.

const hears: Readonly<Record<string, string>> = {
  'a loop that catches all': 'for (;;) { try { n++; } catch { n++; } }',
  'a recursion that never comes back':
    'function twice(): void { n++; twice0(); twice0(); }\nconst twice0 = () => { if (depth < 60) { depth++; twice(); depth--; } };\nlet depth = 0;\ntwice();',
  'a loop of waits': 'while (true) { n++; await 0; }',
  'a loop of waits for timers': 'for (;;) { n++; await new Promise((done) => setTimeout(done)); }',
  'a chain of promises':
    'const on = (): Promise<void> => Promise.resolve().then(() => { n++; return on(); });\nawait on();',
  'a generator without an end':
    'function* all() { for (;;) yield n++; }\nfor (const each of all()) void each;',
  'a callback of a long list': 'Array.from({ length: 1e9 }, () => n++);',
  'a loop of calls of the language': 'for (;;) [1, 2].sort((a, b) => { n++; return a - b; });',
};

/** Nothing in this asks whether it is to stop. */
const deaf = 'new Function("for (;;);")();';
/** Nor in this, but JavaScriptCore gives such an expression up by itself. */
const backtracking = '/^(a+)+$/.test("a".repeat(40) + "b");';

export function stops(tab: () => Tab): void {
  const stopped = async (code: string) => {
    const before = [
      'let n = 7; const given = { width: 4 };',
      'const drawn = await new Promise((done) => setTimeout(() => done("once"), 1));',
    ];
    const cells = [...before, `console.log('begun');\n${code}`, '[n >= 7, given.width, drawn]'];
    const [, , it, after] = (await runCells(tab(), cells, 2)).map(ranOf);
    expect(after.value).toBe("[ true, 4, 'once' ]");
    expect(it.printed).toBe('begun\n');
    return it.error?.message ?? '';
  };

  test.each(Object.entries(hears))('%s is stopped, and what it set is kept', async (_, code) => {
    expect(await stopped(code)).toContain('Variables keep the values they have.');
  });

  test('what does not hear is ended, and what was before it comes back', async () => {
    expect(await stopped(deaf)).toContain('variables have their values back');
  });

  test('so is an expression that is tried for ever, or stopped where the engine gives it up', async () => {
    expect(await stopped(backtracking)).toMatch(
      /^$|Variables keep|variables have their values back/,
    );
  });

  test('what a reader answered before is not asked for again, however often cells are ended', async () => {
    const told = await tab().evaluate(async (code) => {
      const { kernel } = globalThis as unknown as KernelPage;
      await kernel.restart();
      const asked: string[] = [];
      const run = (source: string) =>
        new Promise<string>((done) => {
          let said = '';
          const onOutput = ({ content }: { content: { text?: string; evalue?: string } }) => {
            said += content.text ?? content.evalue ?? '';
            if (said === 'begun\n') void kernel.interrupt();
          };
          const ended = kernel.execute(source, onOutput, (question, answer) => {
            asked.push(question);
            answer(`answer ${asked.length}`);
          });
          void ended.then(() => done(said));
        });
      await run(
        "import { prompt } from 'multislit'; const one = await prompt('one?'); const two = await prompt('two?');",
      );
      const said = [await run(code), await run(code)];
      return { asked, said, kept: await run('console.log(one, two)') };
    }, `console.log('begun');\n${deaf}`);
    for (const said of told.said) expect(said).toContain('variables have their values back');
    expect(told).toMatchObject({ asked: ['one?', 'two?'], kept: 'answer 1 answer 2\n' });
  });
}

import { afterAll, beforeAll, describe, expect, test } from 'vitest';

// What every host of the engine must give: Node, the marker's locked-down child, and whatever comes. Expectations are
// the language's own (ECMA-262) and what a notebook's reader sees; nothing of a host's inside is looked at.

/** What came of one cell, as far as any host tells it. */
export interface CellRan {
  readonly printed: string;
  /** In how many pieces that came. */
  readonly pieces: number;
  /** Plain text of what was shown. */
  readonly shown: readonly string[];
  /** Plain text of the last expression's value. */
  readonly value?: string;
  readonly error?: { readonly name: string; readonly message: string; readonly line?: number };
}

export interface HostUnderTest {
  /**
   * Run cells in order in a session of their own.
   *
   * @param stop number of the cell, from 0, that is stopped once it has printed `begun`
   */
  run(cells: readonly string[], stop?: number): Promise<readonly CellRan[]>;
  close(): Promise<void>;
}

/** What a stopped cell's error is called, by host. */
const stopped = /^(?:Interrupted|Stopped)$/;

const values: readonly (readonly [string, readonly string[], string])[] = [
  ['a number', ['6 * 7'], '42'],
  ['an object', ['({ a: [1, 2], b: "x" })'], "{ a: [ 1, 2 ], b: 'x' }"],
  ['nothing', ['const a = 1;'], ''],
  ['a value of an earlier cell', ['const a = 3;', 'a ** 2'], '9'],
  ['the library’s', ["import { nm } from 'multislit';", 'Math.round(nm(550) * 1e9)'], '550'],
  ['a module that is imported later', ["const m = await import('multislit'); m.nm(5) > 0"], 'true'],
  // As Node's documentation of `util.inspect` and its console have it.
  ['a promise that has come out', ['(async () => 42)()'], 'Promise { 42 }'],
  ['a promise of more', ['Promise.resolve({ a: [1] })'], 'Promise { { a: [ 1 ] } }'],
  ['a promise that has not', ['new Promise(() => {})'], 'Promise { <pending> }'],
  [
    'a promise that was broken, and heard',
    ['const p = Promise.reject(3); p.catch(() => {}); p'],
    'Promise { <rejected> 3 }',
  ],
  ['after a wait', ['await new Promise((done) => setTimeout(() => done(1), 5)); 8'], '8'],
  ['a function that sees a later cell', ['let w = 1; const f = () => w;', 'w = 5;', 'f()'], '5'],
  ['and what is declared anew', ['const w = 1; const f = () => w;', 'const w = 6;', 'f()'], '6'],
  ['also past a failed cell', ['let w = 1;', 'w = 7; throw new Error("x");', 'w'], '7'],
  [
    'of an async generator',
    ['let s = 0; for await (const v of (async function* () { yield 2; })()) s += v;', 's'],
    '2',
  ],
];

const errors: readonly (readonly [string, readonly string[], object])[] = [
  [
    'thrown at a line',
    ['const n = 1;\n\nthrow new RangeError("too " + n);'],
    { name: 'RangeError', message: 'too 1', line: 3 },
  ],
  [
    'after types that leave nothing',
    ['interface A { x: number }\ntype B = A;\n(null as any as B).x;'],
    { name: 'TypeError', line: 3 },
  ],
  [
    'in an earlier cell’s function',
    ['function f() {\n  throw new Error("deep");\n}', '1;\nf();'],
    { name: 'Error', message: 'deep', line: 2 },
  ],
  [
    'after a wait',
    ['await new Promise((done) => setTimeout(done, 5));\nthrow new Error("late");'],
    { message: 'late', line: 2 },
  ],
  [
    'of the library',
    ["import { slits } from 'multislit';\nslits(0, { width: 1, spacing: 2 });"],
    { name: 'RangeError', line: 2 },
  ],
  [
    'that the compiler finds',
    ['const a = 1;\nconst b: string = a;'],
    { name: 'TypeScriptError', line: 2 },
  ],
  ['of syntax', ['const a = (1;'], { name: 'SyntaxError', line: 1 }],
  [
    'of a name that nothing declares',
    ['nowhere;'],
    { name: 'TypeScriptError', message: expect.stringContaining('nowhere') },
  ],
  [
    'of a rejection that nothing handles',
    ['Promise.reject(new Error("left"));'],
    { message: 'left', line: 1 },
  ],
  [
    'beside a rejection that nothing handles',
    ['Promise.reject(new Error("left"));\nthrow new Error("thrown");'],
    { message: 'thrown', line: 2 },
  ],
  [
    'before such a rejection',
    ['queueMicrotask(() => void Promise.reject(new Error("left")));\nthrow new Error("thrown");'],
    { message: 'thrown', line: 2 },
  ],
  [
    'before a rejection that comes while the error is told',
    [
      'setTimeout(() => void Promise.reject(new Error("left")));\nthrow Object.defineProperty(new Error(), "message", { get() { for (const end = Date.now() + 20; Date.now() < end; ); return "thrown"; } });',
    ],
    { message: 'thrown', line: 2 },
  ],
  ['without a name', ['throw "only text"'], { message: "'only text'" }],
  [
    'that cannot be read',
    ['throw new Proxy({}, { get() { throw 1; }, getPrototypeOf() { throw 2; } })'],
    { name: expect.any(String) },
  ],
  ['of too deep a recursion', ['const f = (): number => f() + 1;\nf();'], { name: 'RangeError' }],
];

const endless: readonly (readonly [string, string])[] = [
  ['a loop', 'for (;;) n++;'],
  ['a loop with a block', 'while (true) { n++; }'],
  ['a loop by functions', 'const again = () => { n++; }; do again(); while (n > 0);'],
  ['a loop in an earlier cell’s function', 'spin();'],
  ['a wait for what never comes', 'n++; await new Promise(() => {});'],
];

/** Asks of a host all that a notebook needs. */
export function everyHost(name: string, start: () => Promise<HostUnderTest>): void {
  describe(name, () => {
    let host: HostUnderTest;
    beforeAll(async () => {
      host = await start();
    });
    afterAll(() => host.close());

    test('the last expression is the cell’s value', async () => {
      for (const [what, cells, value] of values) {
        const ran = await host.run(cells);
        expect(ran, what).toHaveLength(cells.length);
        expect(ran.at(-1)?.value ?? '', what).toBe(value);
        expect(ran.at(-1)?.error, what).toBeUndefined();
      }
    });

    test('errors have name, message and the cell’s own line; the next cell runs', async () => {
      for (const [what, cells, error] of errors) {
        const ran = await host.run([...cells, '6 * 7']);
        expect(ran.at(-2)?.error, what).toMatchObject(error);
        expect(JSON.stringify(ran), what).not.toContain('$cells');
        expect(ran.at(-1)?.value, what).toBe('42');
      }
    });

    test('what does not end is stopped, and variables keep their values', async () => {
      for (const [what, code] of endless) {
        const cells = [
          'let n = 7; function spin() { for (;;) n++; }',
          `console.log('begun');\n${code}`,
          'n >= 7',
        ];
        const ran = await host.run(cells, 1);
        expect(ran[1].error?.name, what).toMatch(stopped);
        expect(ran[1].printed, what).toBe('begun\n');
        expect(ran[2].value, what).toBe('true');
      }
    });

    test('what is printed comes whole, in order and in few pieces', async () => {
      const [{ printed, pieces }] = await host.run([
        'for (let i = 0; i < 500; i++) console.log(i); console.error("end");',
      ]);
      expect(printed).toBe(`${Array.from({ length: 500 }, (_, i) => `${i}\n`).join('')}end\n`);
      expect(pieces).toBeLessThan(100);
    });

    test('a flood is cut, and says so', async () => {
      const [flood, next] = await host.run([
        'const line = "x".repeat(99); for (let i = 0; i < 20_000; i++) console.log(line);',
        '"alive"',
      ]);
      expect(flood.printed.length).toBeLessThan(600_000);
      expect(/Output stops here|More came out of this cell/.test(flood.printed)).toBe(true);
      expect(next.value).toBe("'alive'");
    });

    test('what is shown and what is printed by way of a timer belong to their cell', async () => {
      const [first, second] = await host.run([
        "import { show, slits, patternPlot } from 'multislit'; show(patternPlot({ s: [-0.01, 0, 0.01], intensity: [0.1, 1, 0.1] }));",
        'await new Promise<void>((done) => setTimeout(() => { console.log("in time"); done(); }, 5));',
      ]);
      expect(first.shown).toHaveLength(1);
      expect(first.shown[0]).toMatch(/\d/);
      expect(second).toMatchObject({ printed: 'in time\n', shown: [] });
    });
  });
}

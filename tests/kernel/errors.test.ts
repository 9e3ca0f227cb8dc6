import { describe, expect, test } from 'vitest';
import { sharedKernel } from './kernel';
import { rows } from './rows';

// Rows 2, 3 and 5 of the kernel's table: errors with the cell's own place, results as bundles, errors
// that nothing caught, and the end of the process.

const kernel = sharedKernel();

/** The error message of a run, with its place from the metadata. */
async function errorOf(code: string) {
  const { reply, messages } = await kernel.run(code);
  expect(reply.status).toBe('error');
  const errors = messages.filter(({ header }) => header.msg_type === 'error');
  expect(errors).toHaveLength(1);
  const [{ content, metadata }] = errors;
  expect(content.ename).toBe(reply.ename);
  expect(content.traceback).toEqual(reply.traceback);
  return { ...content, place: metadata.multislit, lines: content.traceback as string[] } as {
    ename: string;
    evalue: string;
    lines: string[];
    place?: { line: number; column: number };
  };
}

describe('what the compiler finds', () => {
  test('a wrong type, with line and column', async () => {
    const error = await errorOf('const a = 1;\nconst b: string = a;');
    expect(error).toMatchObject({
      ename: 'TypeScriptError',
      evalue: "Type 'number' is not assignable to type 'string'. (line 2, column 7)",
      place: { line: 2, column: 7 },
    });
    expect(error.lines).toContain('2 | const b: string = a;');
    expect(error.lines).toContain('          ^');
  });

  test('a slip of syntax', async () => {
    const error = await errorOf('const a = (1;\n');
    expect(error.ename).toBe('SyntaxError');
    // Where the bracket was opened, which is what a reader has to look at.
    expect(error.place).toEqual({ line: 1, column: 11 });
    expect(error.lines.join('\n')).toContain("line 1, column 13: ')' expected.");
  });

  test('every finding, the first in front', async () => {
    const error = await errorOf('nothing1;\n\nnothing2;');
    expect(error.evalue).toContain('nothing1');
    expect(error.lines.join('\n')).toContain("line 3, column 1: Cannot find name 'nothing2'.");
  });
});

describe('what happens while a cell runs', () => {
  test('an error after lines that leave nothing in the JavaScript', async () => {
    const code = [
      '// a comment',
      'interface Point {',
      '  x: number;',
      '}',
      'type Names = string[];',
      '',
      'const point = null as unknown as Point;',
      'point.x + 1;',
    ].join('\n');
    const error = await errorOf(code);
    expect(error).toMatchObject({
      ename: 'TypeError',
      evalue: "Cannot read properties of null (reading 'x')",
      place: { line: 8, column: 7 },
    });
    expect(error.lines).toContain('8 | point.x + 1;');
    expect(error.lines[0]).toMatch(/^“x” of something is wanted here/);
  });

  test('an error in a function of an earlier cell names both cells’ lines', async () => {
    await kernel.run(
      'function deep(n: number): number {\n  if (n < 0)\n    throw new RangeError("too deep");\n  return deep(n - 1);\n}',
    );
    const error = await errorOf('const x = 1;\ndeep(1);');
    expect(error).toMatchObject({ ename: 'RangeError', evalue: 'too deep', place: { line: 2 } });
    expect(error.lines.some((line) => /at deep, cell \[\d+\], line 3/.test(line))).toBe(true);
  });

  test('an error of the library keeps its sentence and the cell’s line', async () => {
    const error = await errorOf(
      "import { slits } from 'multislit';\n\nslits(0, { width: 1, spacing: 2 });",
    );
    expect(error.ename).toBe('RangeError');
    expect(error.place).toMatchObject({ line: 3 });
    expect(error.lines.join('\n')).not.toMatch(/node_modules|\.cjs/);
  });

  test('an error after a wait', async () => {
    const error = await errorOf(
      'await new Promise((done) => setTimeout(done, 5));\nthrow new Error("later");',
    );
    expect(error).toMatchObject({ evalue: 'later', place: { line: 2, column: 7 } });
  });

  test('messages name the variable as the reader wrote it', async () => {
    await kernel.run('let thing: any = 5;');
    expect((await errorOf('thing();')).evalue).toBe('thing is not a function');
    expect((await errorOf('thing.a.b.c')).evalue).toContain('undefined');
  });

  test('a cause, and thrown things that are no errors', async () => {
    const error = await errorOf('throw new Error("outer", { cause: new TypeError("inner") })');
    expect(error.lines).toContain('Caused by TypeError: inner');
    expect(await errorOf('throw "only text"')).toMatchObject({ evalue: "'only text'" });
    expect(await errorOf('throw null')).toMatchObject({ evalue: 'null' });
  });

  test('too deep a recursion', async () => {
    const error = await errorOf('function endless(): number {\n  return endless();\n}\nendless();');
    expect(error).toMatchObject({
      ename: 'RangeError',
      evalue: 'Maximum call stack size exceeded',
    });
  });
});

describe('nothing of the inside shows', () => {
  const deep = `function deepest(n: number): number {
  if (n === 0) throw new RangeError('at the bottom');
  return deepest(n - 1);
}
let caught!: Error;
try {
  [1].map(() => deepest(1));
} catch (e) {
  caught = e as Error;
}`;
  const inside = /\$cells|\.cjs|node:|kernel-lib|cell:\d/;

  test.each([
    ['e.stack', 'console.log(caught.stack);'],
    ['console.error(e)', 'console.error(caught);'],
    ['an error as the last value', 'caught'],
    ['an error in an object', '({ caught })'],
  ])('%s names the cell’s own lines', async (_name, code) => {
    const { reply } = await kernel.run(deep);
    const text = await kernel.text(code);
    expect(text).toContain('RangeError: at the bottom');
    const cell = `cell [${reply.execution_count}]`;
    expect(text).toContain(`at deepest (${cell}, line 2, column 22)`);
    expect(text).toContain(`at deepest (${cell}, line 3, column 10)`);
    expect(text).toContain(`${cell}, line 7, column 17`);
    expect(text).not.toMatch(inside);
  });

  test.each(
    rows(`
    a call ¦ let inner: any = 5; try { inner() } catch (e) { console.log((e as Error).message) }
    a method ¦ try { inner.a.b() } catch (e) { console.log(String(e)) }
    a pattern ¦ try { const [x] = inner; } catch (e) { console.log((e as Error).stack) }
    a constructor ¦ try { new inner() } catch (e) { console.error(e) }
    a function’s own text ¦ const usesInner = () => inner; console.log(String(usesInner))
    a trace ¦ console.trace("here")
    a rejection ¦ Promise.resolve().then(() => inner()).catch((e) => console.log(e)); await 0; await 0; await 0; await 0;
    a library’s error ¦ import { slits } from 'multislit'; try { slits(0, { width: 1, spacing: 2 }) } catch (e) { console.log(e) }
  `),
  )('%s', async (_name, code) => {
    const text = await kernel.text(code);
    expect(text.length).toBeGreaterThan(5);
    expect(text).not.toMatch(inside);
  });
});

describe('errors that nothing caught', () => {
  test('a rejected promise is the cell’s error', async () => {
    const error = await errorOf('const n = 1;\nPromise.reject(new Error("not handled"));');
    expect(error).toMatchObject({ evalue: 'not handled', place: { line: 2 } });
  });

  test('an error in a timer after the cell’s end reaches the cell', async () => {
    const { id } = await kernel.run('setTimeout(() => { throw new Error("in a timer"); }, 30);');
    const late = await kernel.next('error', id);
    expect(late.content).toMatchObject({ ename: 'Error', evalue: 'in a timer' });
  });

  test('a rejection after the cell’s end reaches the cell', async () => {
    const { id } = await kernel.run('setTimeout(() => Promise.reject(new Error("late")), 30);');
    expect((await kernel.next('error', id)).content.evalue).toBe('late');
  });

  test('process.exit() can be caught, and ends nothing', async () => {
    expect(await errorOf('process.exit(3)')).toMatchObject({ ename: 'ExitError' });
    expect(
      await kernel.text(
        'let caught = ""; try { process.exit() } catch (e) { caught = e.name } caught',
      ),
    ).toBe("'ExitError'");
    expect(await errorOf('await null; process.exit(1)')).toMatchObject({ ename: 'ExitError' });
    expect(await kernel.text('"still here"')).toBe("'still here'");
  });
});

describe('what a failed cell leaves', () => {
  test('variables that it set stay, those that it did not are not known', async () => {
    await kernel.run('const kept = 7;\nconst boom: number = (() => { throw new Error("x"); })();');
    expect(await kernel.text('kept')).toBe('7');
    expect((await kernel.run('boom')).reply.ename).toBe('TypeScriptError');
  });

  test('a variable of an earlier run stays as it was', async () => {
    await kernel.run('let before = 1;');
    await kernel.run('throw new Error("x"); let before = "other";');
    expect(await kernel.text('before + 1')).toBe('2');
  });
});

describe('the last expression', () => {
  const result = async (code: string) => {
    const { messages } = await kernel.run(code);
    return messages.find(({ header }) => header.msg_type === 'execute_result')?.content;
  };

  test('is the result, with its count', async () => {
    const { reply } = await kernel.run('1');
    expect(await result('6 * 7')).toMatchObject({
      data: { 'text/plain': '42' },
      execution_count: (reply.execution_count as number) + 1,
    });
    expect((await result('({ a: [1, 2] })'))?.data).toEqual({ 'text/plain': '{ a: [ 1, 2 ] }' });
    expect((await result('"text"'))?.data).toEqual({ 'text/plain': "'text'" });
  });

  test.each([
    'const a1 = 1;',
    'undefined',
    'if (true) { 1 }',
    '',
    '// nothing',
    'setTimeout(() => {}, 1)',
  ])('there is none in %j', async (code) => {
    expect(await result(code)).toBeUndefined();
  });

  test('an object that can show itself gives all its formats, bytes as base64', async () => {
    const code = `import { asBundle } from 'multislit';
({ [asBundle]: () => ({ 'image/png': new Uint8Array([1, 2, 3]), 'text/plain': 'a picture', 'application/json': { a: 1 } }) })`;
    expect((await result(code))?.data).toEqual({
      'image/png': 'AQID',
      'text/plain': 'a picture',
      'application/json': { a: 1 },
    });
  });

  test('a figure shows itself, by show() and as the last value', async () => {
    const code = `import { patternPlot, show } from 'multislit';
const figure = patternPlot({ s: [-0.01, 0, 0.01], intensity: [0.1, 1, 0.1] });
show(figure);
figure`;
    const { messages } = await kernel.run(code);
    const kinds = messages.map(({ header }) => header.msg_type);
    expect(kinds).toEqual(['execute_input', 'display_data', 'execute_result']);
    for (const { content } of messages.slice(1)) {
      const data = content.data as Record<string, unknown>;
      expect(data['text/plain']).toMatch(/\d/);
      expect(data).toHaveProperty(['application/vnd.plotly.v1+json', 'data']);
      expect(data).toHaveProperty('text/html');
    }
  });
});

import vm from 'node:vm';
import { describe, expect, test } from 'vitest';
import { given } from '../../kernel-lib/cells/cell-code';
import { liveVariables } from '../../kernel-lib/cells/convert/emit';
import { rows } from '../kernel/rows';
import { generatedProgram } from './generated-programs';

// Names mean in a cell what they mean in plain Node, which runs the same text here: ECMA-262 says how. By
// default a representative number of programs; MULTISLIT_PROGRAMS=5000 runs so many.

const many = Number(process.env.MULTISLIT_PROGRAMS ?? 200);
type Trace = (value: unknown) => void;

/** What a program traces, and how it ends, where all of it is one function of plain Node. */
function inNode(code: string): unknown[] {
  const traced: unknown[] = [];
  const trace: Trace = (value) => void traced.push(value);
  try {
    vm.runInThisContext(`(function (trace) { 'use strict'; ${code}\n})`)(trace);
  } catch (error) {
    traced.push(String(error));
  }
  return traced;
}

let ticked = 0;
const none = undefined;
const tick = () => {
  ticked += 1;
};

/** The same where its statements are cells. */
function inCells(cells: readonly string[], ticks = false): unknown[] {
  const traced: unknown[] = [];
  const variables: Record<string, unknown> = {
    trace: (value: unknown) => void traced.push(value),
  };
  const known = new Set(['trace']);
  try {
    for (const source of cells) {
      // Without the step that takes types away: there are none.
      const code = liveVariables(source, known, ticks);
      for (const name of code.names) known.add(name);
      new Function(...given, `'use strict'; ${code.text}`)(variables, none, none, none, none, tick);
    }
  } catch (error) {
    traced.push(String(error));
  }
  return traced;
}

describe('a name means what it means in Node', () => {
  const width = 'const width = 5;\n';
  test.each(
    rows(`
    a default names a variable that the body hides ¦ function f(w = width) { const width = 2 * w; return width; } trace(f());
    with let ¦ function f(w = width) { let width = 2 * w; return width; } trace(f());
    with var ¦ function f(w = width) { var width = 2 * w; return width; } trace(f());
    with a function ¦ function f(w = width) { function width() {} return w; } trace(f());
    with a class ¦ const f = (w = width) => { class width {} return w; }; trace(f());
    in a method ¦ trace({ f(w = width) { const width = 2 * w; return width; } }.f());
    in a constructor ¦ class C { w; constructor(w = width) { const width = 3; this.w = w * width; } } trace(new C().w);
    in a pattern ¦ const f = ({ w = width } = {}, [v = width] = []) => { const width = 1; return [w, v, width]; }; trace(f().join());
    in a computed name ¦ const o = { ['k' + width](width) { return width; } }; trace(o.k5(1));
    in a computed name of a class ¦ class C { ['k' + width](width) { return width; } } trace(new C().k5(1));
    in a function within a default ¦ const f = (w = () => width) => { const width = 1; return w(); }; trace(f());
    a parameter declared again ¦ function f(width) { var width; return width; } trace(f(3));
    a var declared twice keeps its value ¦ var v = 1; var v; trace(v);
    a var in a loop keeps its value ¦ for (let i = 0; i < 3; i++) { var v; v = (v ?? 0) + 1; } trace(v);
    a function takes the name of what it is assigned to ¦ let f; f = () => 1; trace(f.name); f = (function () {}); trace(f.name);
    also by a default ¦ const { g = () => 1, h = class {} } = {}; trace(g.name + h.name); let k; [k = () => 1] = []; trace(k.name);
    also by ??= ¦ let f; f ??= () => 1; trace(f.name);
    a parenthesized one too ¦ const f = (() => 1); trace(f.name);
    names of the kernel’s own are free ¦ const f = ($cells, $wait, $from) => $cells + $wait + $from + width; trace(f(1, 2, 3));
    a var is undefined before its line ¦ trace(typeof late); var late = 1;
  `),
  )('%s', (_name, code) => {
    expect(inCells([width, code])).toEqual(inNode(width + code));
    expect(inCells([width + code])).toEqual(inNode(width + code));
    expect(inCells([width, code], true)).toEqual(inNode(width + code));
  });

  test(`${many} generated programs trace the same`, { timeout: 60_000 + 100 * many }, () => {
    let traced = 0;
    for (let seed = 1; seed <= many; seed += 1) {
      const statements = generatedProgram(seed);
      const program = statements.join('\n');
      const expected = inNode(program);
      traced += expected.length;
      expect(inCells([program]), `one cell, seed ${seed}\n${program}`).toEqual(expected);
      expect(inCells(statements), `cells, seed ${seed}\n${program}`).toEqual(expected);
      expect(inCells(statements, true), `with ticks, seed ${seed}\n${program}`).toEqual(expected);
    }
    // Programs that end at once would agree as well.
    expect(traced).toBeGreaterThan(10 * many);
    expect(ticked).toBeGreaterThan(many);
  });
});

import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';
import { afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import * as multislit from '../kernel-lib/index';
import oneSlit from '../worksheets/02-one-slit/sheet';
import { compareExample, readExamples, runExample } from './read-examples';

// Every @example of the library is run, of public names and of those inside; every public name says what it is for.

const home = fileURLToPath(new URL('../kernel-lib', import.meta.url));
const index = join(home, 'index.ts');
const folders = new Set(
  [...readFileSync(index, 'utf8').matchAll(/'\.\/(\w+)\//g)].map(([, folder]) => folder),
);
const files = [...folders].flatMap((folder) =>
  readdirSync(join(home, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts'))
    .map((name) => join(home, folder, name)),
);
const examples = files.flatMap((file) =>
  readExamples(readFileSync(file, 'utf8')).map(
    ({ code, value }) => [file.slice(home.length + 1), code, value ?? ''] as const,
  ),
);

describe('examples in docstrings', () => {
  beforeEach(() => {
    multislit.setSheetSource((name) => (name === oneSlit.name ? oneSlit : undefined));
    multislit.setDisplayPort({ show() {} });
  });
  afterEach(() => {
    multislit.endWork();
    multislit.setSheetSource(undefined);
    multislit.setFilesBeside(undefined);
    multislit.setDisplayPort(undefined);
    multislit.setBenchScript(undefined);
    multislit.connectComms(() => {});
  });

  test('there are as many as public functions, at least', () => {
    const functions = Object.values(multislit).filter((one) => typeof one === 'function');
    expect(examples.length).toBeGreaterThan(functions.length);
  });

  test.each(examples)('%s: %s is %s', async (file, code, value) => {
    const near = readdirSync(join(home, dirname(file))).filter((name) => name.endsWith('.ts'));
    const own = {};
    for (const name of near)
      Object.assign(own, await import(/* @vite-ignore */ join(home, dirname(file), name)));
    expect(value, 'the last line says its value: expression // value').not.toBe('');
    expect(compareExample(runExample(code, { ...multislit, ...own }), value)).toBe('');
  });
});

describe('what is believed of a value', () => {
  test.each([
    [0.7826, '0.7826', true],
    [0.78264, '0.7826', true],
    [0.78266, '0.7826', false],
    [0.2196013, '0.219601…', true],
    [0.219602, '0.219600…', false],
    [2.1e-4, '2e-4', false],
    [4e-5, '0.00004', true],
    [4.4e-5, '0.00004', false],
    [[0.31271, 0.329], '[0.3127, 0.329]', true],
    [[0.3129, 0.329], '[0.3127, 0.329]', false],
    [{ lowest: -15, highest: 15 }, '{ lowest: -15, highest: 15 }', true],
    [{ lowest: -15, highest: 16 }, '{ lowest: -15, highest: 15 }', false],
    ['12.34(5)', "'12.34(5)'", true],
    ['12.34(6)', "'12.34(5)'", false],
    [Number.NaN, 'NaN', true],
    [undefined, 'undefined', true],
    [1, 'undefined', false],
  ])('%s for %s: %s', (found, value, isRight) => {
    expect(compareExample(found, value) === '').toBe(isRight);
  });
});

describe('every public name', () => {
  let names: ts.Symbol[];
  let checker: ts.TypeChecker;
  beforeAll(() => {
    const program = ts.createProgram([index, join(home, 'text-files.d.ts')], {
      module: ts.ModuleKind.ESNext,
      moduleResolution: ts.ModuleResolutionKind.Bundler,
      target: ts.ScriptTarget.ES2022,
      strict: true,
      skipLibCheck: true,
      noEmit: true,
    });
    checker = program.getTypeChecker();
    const source = program.getSourceFile(index) as ts.SourceFile;
    names = checker
      .getExportsOfModule(checker.getSymbolAtLocation(source) as ts.Symbol)
      .map((one) => (one.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(one) : one));
  });

  test('has a docstring that begins with its purpose', () => {
    expect(names.length).toBeGreaterThan(200);
    const silent = names.filter((one) => {
      const text = ts.displayPartsToString(one.getDocumentationComment(checker));
      return text.split('\n')[0].split(' ').length < 3;
    });
    expect(silent.map(({ name }) => name)).toEqual([]);
  });

  test('that is a value has an example', () => {
    const without = names
      .filter(({ flags }) => flags & ts.SymbolFlags.Value)
      .filter((one) => !one.getJsDocTags(checker).some(({ name }) => name === 'example'));
    expect(without.map(({ name }) => name)).toEqual([]);
  });
});

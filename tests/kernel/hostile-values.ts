import fc from 'fast-check';

// Values that do their worst when they are looked at, as the texts of expressions, and the ways in which a cell
// brings them forth.

/** What a property may do or be. */
const behaviours = [
  "{ get() { throw new Error('looked at'); } }",
  '{ get() { throw null; } }',
  '{ get() { throw this; } }',
  '{ get() { return this; } }',
  '{ get() { return Object.create(null); } }',
  '{ get() { return Proxy.revocable({}, {}).proxy; } }',
  '{ value: Symbol() }',
  "{ value: 'x'.repeat(2_000_000) }",
  '{ value: 7n }',
  '{ value: null }',
  "{ value() { throw new Error('called'); } }",
  '{ value: { toString() { throw 1; } } }',
  "{ value: { then(done: any) { throw new Error('then'); } } }",
  '{ value: (() => { const p = Proxy.revocable(() => {}, {}); p.revoke(); return p.proxy; })() }',
  '{ value: Array.from({ length: 50 }, () => ({ get message() { throw 2; } })) }',
  '{ get(): any { return (function deep(): any { return deep(); })(); } }',
];

const properties = [
  "'name'",
  "'message'",
  "'stack'",
  "'cause'",
  "'errors'",
  "'code'",
  "'constructor'",
  "'toString'",
  "'toJSON'",
  "'then'",
  "'length'",
  'Symbol.toPrimitive',
  'Symbol.toStringTag',
  'Symbol.iterator',
  "Symbol.for('nodejs.util.inspect.custom')",
  "Symbol.for('multislit.bundle')",
];

const bases = [
  "new Error('plain')",
  "new AggregateError([1], 'many')",
  '({})',
  'Object.create(null)',
  '(function () {})',
  'new (class Own extends TypeError {})()',
  'Object.create(Error.prototype)',
  '[1, 2]',
  'new Map([[1, 2]])',
];

const wholes = [
  '(() => { const p = Proxy.revocable({}, {}); p.revoke(); return p.proxy; })()',
  "(() => { const p = Proxy.revocable(new Error('x'), {}); p.revoke(); return p.proxy; })()",
  'new Proxy({}, { get() { throw 3; }, has() { throw 3; }, getPrototypeOf() { throw 3; }, ownKeys() { throw 3; }, getOwnPropertyDescriptor() { throw 3; } })',
  "new Proxy(new Error('in a proxy'), { get(_t, key) { throw key; } })",
  'Symbol()',
  'undefined',
  'null',
  'NaN',
  '-0',
  "''",
  '10n ** 20n',
];

const withProperties = fc
  .tuple(
    fc.constantFrom(...bases),
    fc.uniqueArray(fc.tuple(fc.constantFrom(...properties), fc.constantFrom(...behaviours)), {
      selector: ([property]) => property,
      minLength: 1,
      maxLength: 3,
    }),
  )
  .map(([base, list]) => {
    const all = list.map(([name, behaviour]) => `[${name}]: ${behaviour}`);
    return `Object.defineProperties(${base}, { ${all.join(', ')} } as any)`;
  });

/** The text of an expression whose value is hostile. */
export const hostileValue = fc.oneof(
  { weight: 1, arbitrary: fc.constantFrom(...wholes) },
  { weight: 4, arbitrary: withProperties },
);

/** Statements that bring a value forth. */
const ways: readonly ((value: string) => string)[] = [
  (value) => `throw ${value};`,
  (value) => `(${value})`,
  (value) => `Promise.reject(${value}); 0`,
  (value) => `await Promise.reject(${value});`,
  (value) => `await 0; throw ${value};`,
  (value) =>
    `setTimeout(() => { throw ${value}; }, 0); await new Promise((done) => setTimeout(done, 2));`,
  (value) => `queueMicrotask(() => { throw ${value}; }); 0`,
  (value) => `console.log(${value});`,
  (value) => `console.error(new Error('outer', { cause: ${value} }));`,
  (value) => `throw new Error('outer', { cause: ${value} });`,
  (value) => `throw new AggregateError([${value}]);`,
  (value) => `const { show } = await import('multislit'); show(${value} as any);`,
];

/** A cell that brings forth a hostile value. */
export const hostileCell = fc
  .tuple(fc.constantFrom(...ways), hostileValue)
  .map(([way, value]) => way(value));

/** So many cells, always the same ones. */
export const hostileCells = (count: number): string[] =>
  fc.sample(hostileCell, { seed: 20261127, numRuns: count });

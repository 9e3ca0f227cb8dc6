/** Something of the language that is newer than the compiler, and whether the running engine has it. */
interface Newer {
  readonly has: () => boolean;
  readonly types: string;
}

const isFunction = (value: unknown) => typeof value === 'function';
/** A static or a prototype's method, whatever the compiler knows of it. */
const member = (owner: unknown, name: string): boolean =>
  isFunction((owner as Record<string, unknown> | undefined)?.[name]);
const globals = globalThis as Record<string, unknown>;
const prototypeOf = (name: string): unknown =>
  (globals[name] as { prototype?: unknown } | undefined)?.prototype;

const iteratorHelpers = `
interface IteratorObject<T, TReturn, TNext> extends Iterator<T, TReturn, TNext> {
  [Symbol.iterator](): IteratorObject<T, TReturn, TNext>;
  map<U>(callback: (value: T, index: number) => U): IteratorObject<U, undefined, unknown>;
  filter<S extends T>(predicate: (value: T, index: number) => value is S): IteratorObject<S, undefined, unknown>;
  filter(predicate: (value: T, index: number) => unknown): IteratorObject<T, undefined, unknown>;
  take(limit: number): IteratorObject<T, undefined, unknown>;
  drop(count: number): IteratorObject<T, undefined, unknown>;
  flatMap<U>(callback: (value: T, index: number) => Iterator<U> | Iterable<U>): IteratorObject<U, undefined, unknown>;
  reduce(callback: (before: T, value: T, index: number) => T): T;
  reduce<U>(callback: (before: U, value: T, index: number) => U, first: U): U;
  toArray(): T[];
  forEach(callback: (value: T, index: number) => void): void;
  some(predicate: (value: T, index: number) => unknown): boolean;
  every(predicate: (value: T, index: number) => unknown): boolean;
  find<S extends T>(predicate: (value: T, index: number) => value is S): S | undefined;
  find(predicate: (value: T, index: number) => unknown): T | undefined;
}
interface IteratorConstructor {
  readonly prototype: IteratorObject<any, any, any>;
  from<T>(from: Iterator<T> | Iterable<T>): IteratorObject<T, undefined, unknown>;
}
declare var Iterator: IteratorConstructor;
interface Generator<T = unknown, TReturn = any, TNext = unknown> extends IteratorObject<T, TReturn, TNext> {}
interface Array<T> {
  entries(): IteratorObject<[number, T], undefined, unknown>;
  keys(): IteratorObject<number, undefined, unknown>;
  values(): IteratorObject<T, undefined, unknown>;
}
interface ReadonlyArray<T> {
  entries(): IteratorObject<[number, T], undefined, unknown>;
  keys(): IteratorObject<number, undefined, unknown>;
  values(): IteratorObject<T, undefined, unknown>;
}
interface Map<K, V> {
  entries(): IteratorObject<[K, V], undefined, unknown>;
  keys(): IteratorObject<K, undefined, unknown>;
  values(): IteratorObject<V, undefined, unknown>;
}
interface Set<T> {
  entries(): IteratorObject<[T, T], undefined, unknown>;
  keys(): IteratorObject<T, undefined, unknown>;
  values(): IteratorObject<T, undefined, unknown>;
}
interface String {
  matchAll(pattern: RegExp): IteratorObject<RegExpMatchArray, undefined, unknown>;
}`;

const setMethods = (name: string) => `
interface ${name}<T> {
  union<U>(other: SetLike<U>): Set<T | U>;
  intersection<U>(other: SetLike<U>): Set<T & U>;
  difference<U>(other: SetLike<U>): Set<T>;
  symmetricDifference<U>(other: SetLike<U>): Set<T | U>;
  isSubsetOf(other: SetLike<unknown>): boolean;
  isSupersetOf(other: SetLike<unknown>): boolean;
  isDisjointFrom(other: SetLike<unknown>): boolean;
}`;

const copies = (name: string) => `
interface ${name}<T> {
  toReversed(): T[];
  toSorted(compare?: (a: T, b: T) => number): T[];
  toSpliced(start: number, skip: number, ...items: T[]): T[];
  toSpliced(start: number, skip?: number): T[];
  with(index: number, value: T): T[];
}`;

const numberLists = [
  'Int8Array',
  'Uint8Array',
  'Uint8ClampedArray',
  'Int16Array',
  'Uint16Array',
  'Int32Array',
  'Uint32Array',
  'Float32Array',
  'Float64Array',
];
const copiesOfNumbers = (name: string) => `
interface ${name} {
  toReversed(): ${name};
  toSorted(compare?: (a: number, b: number) => number): ${name};
  with(index: number, value: number): ${name};
}`;

/** Parts of ECMAScript 2023, which the compiler knows half of, 2024 and after, by the edition's text (ECMA-262) and its finished proposals, from memory. */
const newer: readonly Newer[] = [
  {
    has: () => member(Array.prototype, 'toSorted'),
    types:
      ['Array', 'ReadonlyArray'].map(copies).join('') + numberLists.map(copiesOfNumbers).join(''),
  },
  {
    has: () => member(Object, 'groupBy'),
    types: `
interface ObjectConstructor {
  groupBy<K extends PropertyKey, T>(items: Iterable<T>, keyOf: (item: T, index: number) => K): Partial<Record<K, T[]>>;
}
interface MapConstructor {
  groupBy<K, T>(items: Iterable<T>, keyOf: (item: T, index: number) => K): Map<K, T[]>;
}`,
  },
  {
    has: () => member(Promise, 'withResolvers'),
    types: `
interface PromiseConstructor {
  withResolvers<T>(): { promise: Promise<T>; resolve: (value: T | PromiseLike<T>) => void; reject: (reason?: any) => void };
}`,
  },
  {
    has: () => member(Promise, 'try'),
    types: `
interface PromiseConstructor {
  try<T, A extends unknown[]>(call: (...args: A) => T | PromiseLike<T>, ...args: A): Promise<Awaited<T>>;
}`,
  },
  {
    has: () => member(Array, 'fromAsync'),
    types: `
interface ArrayConstructor {
  fromAsync<T>(from: AsyncIterable<T> | Iterable<T | PromiseLike<T>> | ArrayLike<T | PromiseLike<T>>): Promise<T[]>;
  fromAsync<T, U>(from: AsyncIterable<T> | Iterable<T | PromiseLike<T>> | ArrayLike<T | PromiseLike<T>>, map: (value: Awaited<T>, index: number) => U): Promise<Awaited<U>[]>;
}`,
  },
  {
    has: () => member(String.prototype, 'isWellFormed'),
    types: '\ninterface String { isWellFormed(): boolean; toWellFormed(): string }',
  },
  {
    has: () => member(ArrayBuffer.prototype, 'transfer'),
    types: `
interface ArrayBuffer { readonly detached: boolean; transfer(size?: number): ArrayBuffer; transferToFixedLength(size?: number): ArrayBuffer }`,
  },
  {
    has: () => member(ArrayBuffer.prototype, 'resize'),
    types: `
interface ArrayBuffer { readonly resizable: boolean; readonly maxByteLength: number; resize(size: number): void }
interface ArrayBufferConstructor { new (size: number, options?: { maxByteLength?: number }): ArrayBuffer }`,
  },
  {
    has: () => member(Set.prototype, 'union'),
    types: `
interface SetLike<T> { has(value: T): boolean; keys(): Iterator<T>; readonly size: number }${setMethods('Set')}${setMethods('ReadonlySet')}`,
  },
  { has: () => member(prototypeOf('Iterator'), 'map'), types: iteratorHelpers },
  {
    has: () => member(globals.Iterator, 'concat'),
    types: `
interface IteratorConstructor { concat<T>(...items: Iterable<T>[]): IteratorObject<T, undefined, unknown> }`,
  },
  {
    has: () => member(RegExp, 'escape'),
    types: '\ninterface RegExpConstructor { escape(text: string): string }',
  },
  {
    has: () => member(Error, 'isError'),
    types: '\ninterface ErrorConstructor { isError(value: unknown): value is Error }',
  },
  {
    has: () => member(Math, 'sumPrecise'),
    types: '\ninterface Math { sumPrecise(values: Iterable<number>): number }',
  },
  {
    has: () => member(Math, 'f16round'),
    types: '\ninterface Math { f16round(value: number): number }',
  },
  {
    has: () => member(Map.prototype, 'getOrInsert'),
    types: `
interface Map<K, V> { getOrInsert(key: K, value: V): V; getOrInsertComputed(key: K, make: (key: K) => V): V }`,
  },
  {
    has: () => member(Uint8Array.prototype, 'toBase64'),
    types: `
interface Uint8Array { toBase64(options?: { alphabet?: 'base64' | 'base64url'; omitPadding?: boolean }): string; toHex(): string }
interface Uint8ArrayConstructor { fromBase64(text: string, options?: { alphabet?: 'base64' | 'base64url' }): Uint8Array; fromHex(text: string): Uint8Array }`,
  },
];

/**
 * Types of the language that the running engine speaks: what the compiler knows at most, and declarations of our own
 * for what came later, each only where it is there. `import(…)` takes attributes as the engine writes them.
 */
export const languageTypes = (): string =>
  `/// <reference lib="es2023" />
interface ImportCallOptions { with?: ImportAssertions }${newer
    .filter(({ has }) => has())
    .map(({ types }) => types)
    .join('')}
`;

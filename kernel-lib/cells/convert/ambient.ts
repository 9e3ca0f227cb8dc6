import type { ConvertHost } from '../host';

/** Modules that Node brings along. */
const builtins =
  /['"](?:node:|(?:assert|buffer|child_process|crypto|dns|events|fs|http|https|module|net|os|path|perf_hooks|process|readline|stream|string_decoder|timers|tls|tty|url|util|v8|vm|worker_threads|zlib)(?:\/\w+)?['"])/;

/** True when a cell names one of Node's own modules, whose types are large and loaded only then. */
export const namesBuiltin = (source: string): boolean => builtins.test(source);

/** Globals whose types below are only a part of Node's. */
const partly =
  /\b(?:console|process|performance|require|Buffer|fetch|Response|URL|URLSearchParams|TextEncoder|TextDecoder|NodeJS|set(?:Timeout|Interval|Immediate))\b/;

/** True when what the compiler found may come from the small types below: all of Node's may know better. */
export function mayLackTypes(
  found: readonly { messageText: string }[],
  source: string,
  { globals }: ConvertHost,
): boolean {
  if (found.length > 0 && partly.test(source)) return true;
  return found.some(({ messageText }) => {
    const name = /^Cannot find name '(.*?)'/.exec(messageText)?.[1];
    return name !== undefined && (globals.has(name) || /^(NodeJS|BufferEncoding)/.test(name));
  });
}

/** Those of Node's globals of which the small types below say all that is asked for. */
const wholly =
  /^(?:console|performance|structuredClone|atob|btoa|queueMicrotask|(?:set|clear)\w+)$/;

/** True when a cell that is being written is told more about by all of Node's types. */
export const mayAskTypes = (source: string, host: ConvertHost): boolean =>
  namesBuiltin(source) ||
  (source.match(/[\p{ID_Start}$_][\p{ID_Continue}$]*/gu) ?? []).some(
    (word) => host.isPlatforms(word) && !wholly.test(word),
  );

/** The library, though a cell may not import it. */
export const libraryTypes = '/// <reference types="multislit" />\n';

/** All of the platform's types, by the file that holds them. */
export const fullTypes = (path: string): string => `/// <reference path="${path}" />\n`;

/**
 * The globals that cells use, as a small part of Node's types: reading all of those takes half of the
 * converter's start. When a cell does not convert with these, it is tried again with `fullTypes`.
 */
export const smallTypes = `
interface Console {
  assert(condition?: boolean, ...data: any[]): void;
  clear(): void;
  count(label?: string): void;
  countReset(label?: string): void;
  debug(...data: any[]): void;
  dir(item?: any, options?: any): void;
  error(...data: any[]): void;
  group(...label: any[]): void;
  groupCollapsed(...label: any[]): void;
  groupEnd(): void;
  info(...data: any[]): void;
  log(...data: any[]): void;
  table(tabularData: any, properties?: readonly string[]): void;
  time(label?: string): void;
  timeEnd(label?: string): void;
  timeLog(label?: string, ...data: any[]): void;
  trace(...data: any[]): void;
  warn(...data: any[]): void;
}
declare var console: Console;

declare namespace NodeJS {
  interface Timeout {
    hasRef(): boolean;
    ref(): this;
    refresh(): this;
    unref(): this;
    [Symbol.toPrimitive](): number;
  }
  interface Immediate {
    hasRef(): boolean;
    ref(): this;
    unref(): this;
  }
}
declare function setTimeout<A extends any[]>(callback: (...args: A) => void, ms?: number, ...args: A): NodeJS.Timeout;
declare function setInterval<A extends any[]>(callback: (...args: A) => void, ms?: number, ...args: A): NodeJS.Timeout;
declare function setImmediate<A extends any[]>(callback: (...args: A) => void, ...args: A): NodeJS.Immediate;
declare function setTimeout(callback: (args: void) => void, ms?: number): NodeJS.Timeout;
declare function setInterval(callback: (args: void) => void, ms?: number): NodeJS.Timeout;
declare function setImmediate(callback: (args: void) => void): NodeJS.Immediate;
declare function clearTimeout(timeout: NodeJS.Timeout | string | number | undefined): void;
declare function clearInterval(timeout: NodeJS.Timeout | string | number | undefined): void;
declare function clearImmediate(immediate: NodeJS.Immediate | undefined): void;
declare function queueMicrotask(callback: () => void): void;
declare function structuredClone<T>(value: T): T;
declare function atob(data: string): string;
declare function btoa(data: string): string;
interface Process {
  readonly argv: string[];
  readonly env: { [name: string]: string | undefined };
  readonly platform: string;
  readonly version: string;
  cwd(): string;
  exit(code?: number): never;
  hrtime: { bigint(): bigint };
  memoryUsage(): { rss: number; heapTotal: number; heapUsed: number; external: number; arrayBuffers: number };
  uptime(): number;
  readonly stdout: { write(text: string): boolean };
  readonly stderr: { write(text: string): boolean };
}
declare var process: Process;
interface Performance { now(): number; readonly timeOrigin: number }
declare var performance: Performance;
declare var require: { (id: string): any; resolve(id: string): string };

interface URLSearchParams {
  append(name: string, value: string): void;
  delete(name: string): void;
  entries(): IterableIterator<[string, string]>;
  get(name: string): string | null;
  getAll(name: string): string[];
  has(name: string): boolean;
  set(name: string, value: string): void;
  toString(): string;
  [Symbol.iterator](): IterableIterator<[string, string]>;
}
declare var URLSearchParams: { new (init?: string | Record<string, string>): URLSearchParams; prototype: URLSearchParams };
interface URL {
  hash: string;
  host: string;
  hostname: string;
  href: string;
  readonly origin: string;
  pathname: string;
  port: string;
  protocol: string;
  search: string;
  readonly searchParams: URLSearchParams;
  toString(): string;
}
declare var URL: { new (url: string | URL, base?: string | URL): URL; prototype: URL };
interface TextEncoder { encode(input?: string): Uint8Array }
declare var TextEncoder: { new (): TextEncoder; prototype: TextEncoder };
interface TextDecoder { decode(input?: ArrayBuffer | ArrayBufferView): string }
declare var TextDecoder: { new (label?: string): TextDecoder; prototype: TextDecoder };

type BufferEncoding = 'ascii' | 'utf8' | 'utf-8' | 'utf16le' | 'base64' | 'base64url' | 'latin1' | 'binary' | 'hex';
interface Buffer extends Uint8Array {
  toString(encoding?: BufferEncoding, start?: number, end?: number): string;
  equals(other: Uint8Array): boolean;
}
declare var Buffer: {
  from(data: string, encoding?: BufferEncoding): Buffer;
  from(data: readonly number[] | Uint8Array | ArrayBuffer): Buffer;
  alloc(size: number): Buffer;
  concat(list: readonly Uint8Array[]): Buffer;
  byteLength(text: string): number;
  isBuffer(value: any): value is Buffer;
};

interface Response {
  readonly ok: boolean;
  readonly status: number;
  readonly statusText: string;
  readonly url: string;
  arrayBuffer(): Promise<ArrayBuffer>;
  json(): Promise<any>;
  text(): Promise<string>;
}
declare function fetch(url: string | URL, init?: { method?: string; headers?: Record<string, string>; body?: string | Uint8Array }): Promise<Response>;
`;

/** Something of the language that is newer than the compiler, and whether the running engine has it. */
interface Newer {
  readonly has: () => boolean;
  readonly types: string;
}

const isFunction = (value: unknown) => typeof value === 'function';
/** A static or a prototype's method, whatever the compiler knows of it. */
const member = (owner: unknown, name: string): boolean =>
  isFunction((owner as Record<string, unknown> | undefined)?.[name]);
const engine = globalThis as Record<string, unknown>;
const prototypeOf = (name: string): unknown =>
  (engine[name] as { prototype?: unknown } | undefined)?.prototype;

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
    has: () => member(engine.Iterator, 'concat'),
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

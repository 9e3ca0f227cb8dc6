import { builtinModules } from 'node:module';
import vm from 'node:vm';
import { homeRequire } from './home';

/** Modules that Node brings along. */
const builtins =
  /['"](?:node:|(?:assert|buffer|child_process|crypto|dns|events|fs|http|https|module|net|os|path|perf_hooks|process|readline|stream|string_decoder|timers|tls|tty|url|util|v8|vm|worker_threads|zlib)(?:\/\w+)?['"])/;

/** True when a cell names one of Node's own modules, whose types are large and loaded only then. */
export const namesBuiltin = (source: string): boolean => builtins.test(source);

const globals = new Set(Object.getOwnPropertyNames(globalThis));
/** Globals whose types below are only a part of Node's. */
const partly =
  /\b(?:console|process|performance|require|Buffer|fetch|Response|URL|URLSearchParams|TextEncoder|TextDecoder|NodeJS|set(?:Timeout|Interval|Immediate))\b/;

/** True when what the compiler found may come from the small types below: all of Node's may know better. */
export function mayLackTypes(found: readonly { messageText: string }[], source: string): boolean {
  if (found.length > 0 && partly.test(source)) return true;
  return found.some(({ messageText }) => {
    const name = /^Cannot find name '(.*?)'/.exec(messageText)?.[1];
    return name !== undefined && (globals.has(name) || /^(NodeJS|BufferEncoding)/.test(name));
  });
}

let engines: ReadonlySet<string> | undefined;

/** Globals that are Node's and not the language's. */
function isNodeGlobal(name: string): boolean {
  engines ??= new Set(vm.runInNewContext('Object.getOwnPropertyNames(globalThis)') as string[]);
  return globals.has(name) && !engines.has(name);
}

/** Those of Node's globals of which the small types below say all that is asked for. */
const wholly =
  /^(?:console|performance|structuredClone|atob|btoa|queueMicrotask|(?:set|clear)\w+)$/;

/** True when a cell that is being written is told more about by all of Node's types. */
export const mayAskTypes = (source: string): boolean =>
  namesBuiltin(source) ||
  (source.match(/[\p{ID_Start}$_][\p{ID_Continue}$]*/gu) ?? []).some(
    (word) => isNodeGlobal(word) && !wholly.test(word),
  );

/** Names of globals that begin so. */
export const globalsFrom = (head: string): string[] =>
  [...globals].filter((name) => name.startsWith(head) && /^[\w$]+$/.test(name)).sort();

/** Modules that can be imported by a name that begins so. */
export function modulesFrom(head: string): string[] {
  const plain = builtinModules.filter((name) => !/^_|\/_|^node:/.test(name));
  const all = ['multislit', ...plain, ...plain.map((name) => `node:${name}`)];
  return all.filter((name) => name.startsWith(head));
}

/** The library, though a cell may not import it. */
export const libraryTypes = '/// <reference types="multislit" />\n';

/** All of Node's types, as they are written for compilers before 5.7, in which Buffer is a plain Uint8Array. */
export const fullTypes = (): string =>
  `/// <reference path="${homeRequire.resolve('@types/node/ts5.6/index.d.ts').replaceAll('\\', '/')}" />\n`;

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

import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, realpathSync, statSync } from 'node:fs';
import { builtinModules } from 'node:module';
import vm from 'node:vm';
import type { CellConverter, ConverterOptions } from '../cells/convert/converter';
import type { ConvertHost, Files } from '../cells/host';
import { createSession, type Session, type SessionOptions } from '../cells/run/session';
import { aheadIn } from './ahead';
import { home, homeRequire } from './home';
import { nodeRuntime } from './node-host';
import { compilerFile } from './typescript';

/** Text as editors save it: UTF-8, or UTF-16 with its byte order mark. */
function textOf(bytes: Buffer): string {
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return bytes.subarray(2).swap16().toString('utf16le');
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return bytes.toString('utf16le', 2);
  const text = bytes.toString('utf8');
  return text.startsWith('\ufeff') ? text.slice(1) : text;
}

function attempt<T>(look: () => T, otherwise: T): T {
  try {
    return look();
  } catch {
    return otherwise;
  }
}

const info = (path: string) => attempt(() => statSync(path, { throwIfNoEntry: false }), undefined);

/** The disk. */
const files: Files = {
  read: (path) => attempt(() => textOf(readFileSync(path)), undefined),
  isFile: (path) => info(path)?.isFile() ?? false,
  isFolder: (path) => info(path)?.isDirectory() ?? false,
  list(path) {
    const entries = attempt(() => readdirSync(path || '.', { withFileTypes: true }), []);
    const is = (kind: 'isFile' | 'isDirectory') =>
      entries
        .filter((one) =>
          one.isSymbolicLink() ? info(`${path}/${one.name}`)?.[kind]() : one[kind](),
        )
        .map(({ name }) => name)
        .sort();
    return { files: is('isFile'), folders: is('isDirectory') };
  },
  realPath: (path) => attempt(() => realpathSync.native(path), path),
  changedAt: (path) => info(path)?.mtimeMs ?? 0,
};

const plainModules = builtinModules.filter((name) => !/^_|\/_|^node:/.test(name));
let language: ReadonlySet<string> | undefined;

export function convertHost(cwd: string): ConvertHost {
  const globals = new Set(Object.getOwnPropertyNames(globalThis));
  return {
    files,
    cwd,
    home,
    compiler: compilerFile,
    // As they are written for compilers before 5.7, in which Buffer is a plain Uint8Array.
    platformTypes: homeRequire.resolve('@types/node/ts5.6/index.d.ts'),
    globals,
    isPlatforms(name) {
      language ??= new Set(
        vm.runInNewContext('Object.getOwnPropertyNames(globalThis)') as string[],
      );
      return globals.has(name) && !language.has(name);
    },
    modules: [...plainModules, ...plainModules.map((name) => `node:${name}`)],
    digest: (text) => createHash('sha256').update(text).digest('base64'),
  };
}

/** A converter for cells in the folder `cwd`, in this process. */
export async function nodeConverter(
  cwd: string,
  options?: ConverterOptions,
): Promise<CellConverter> {
  // After `typescript.ts`, which is quicker to load the compiler.
  const { createCellConverter } = await import('../cells/convert/converter');
  return createCellConverter(convertHost(cwd), options);
}

export interface NodeSessionOptions extends Omit<SessionOptions, 'cwd' | 'converter'> {
  /** Where cells look for files and packages; this process's folder unless given. */
  cwd?: string;
  /** A converter for the same folder to share; one of its own unless given. */
  converter?: CellConverter | Promise<CellConverter>;
}

/** A session in this process. */
export function nodeSession({
  cwd = process.cwd(),
  converter,
  ...options
}: NodeSessionOptions): Session {
  const made = converter ?? (() => nodeConverter(cwd));
  return createSession(nodeRuntime(), { ahead: aheadIn(cwd), ...options, cwd, converter: made });
}

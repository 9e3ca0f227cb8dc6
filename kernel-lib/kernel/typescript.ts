import { mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import Module, { createRequire } from 'node:module';
import { dirname } from 'node:path';
import vm from 'node:vm';
import type { ts as Compiler } from '../cells/convert/typescript';
import { built, homeRequire } from './home';

/** V8's compiled code of a module, as far as earlier processes used it: for this Node, on this machine. */
const cacheFile = (name: string) =>
  built(`compiled/${name}-${process.version}-${process.arch}-${process.platform}.bin`);

function read(file: string): Buffer | undefined {
  try {
    return readFileSync(file);
  } catch {
    return undefined;
  }
}

/** Keep the compiled code for the next process; where that may not be written, it starts slower. */
function keep(file: string, script: vm.Script): void {
  try {
    mkdirSync(dirname(file), { recursive: true });
    const whole = `${file}.${process.pid}`;
    writeFileSync(whole, script.createCachedData());
    renameSync(whole, file);
  } catch {
    // Only time is lost.
  }
}

/**
 * `require` for one large CommonJS file, with the compiled code of an earlier process: a compiler's
 * thousands of functions need not be compiled again at every start. Others that require the file get
 * the same module.
 *
 * @param name names the file in the cache, its version included
 */
function requireCompiled(file: string, name: string): unknown {
  const require = createRequire(file);
  const known = require.cache[file];
  if (known) return known.exports;
  const kept = cacheFile(name);
  const cachedData = read(kept);
  const script = new vm.Script(Module.wrap(readFileSync(file, 'utf8')), {
    filename: file,
    cachedData,
  });
  const module = new Module(file);
  module.filename = file;
  require.cache[file] = module;
  script.runInThisContext()(module.exports, require, module, file, dirname(file));
  module.loaded = true;
  // At the end, when all that a run needs has been compiled.
  if (!cachedData || script.cachedDataRejected) process.once('exit', () => keep(kept, script));
  return module.exports;
}

const requireFromTslab = createRequire(homeRequire.resolve('tslab/package.json'));
const { version } = requireFromTslab('@tslab/typescript-for-tslab/package.json');

/** The file of the compiler that tslab brings. */
export const compilerFile = requireFromTslab.resolve('@tslab/typescript-for-tslab');

/**
 * That compiler, loaded with the compiled code that an earlier process kept. Whoever asks for it later, tslab and
 * `cells/convert` too, gets this instance.
 */
export const ts = requireCompiled(compilerFile, `typescript-${version}`) as typeof Compiler;

export type { TypeScript } from '../cells/convert/typescript';

import Module, { createRequire } from 'node:module';
import { dirname, join, resolve } from 'node:path';
import vm from 'node:vm';
import { cellLibrary } from './cell-library';

/** The modules that the cells of one session import. */
export interface Modules {
  /** Load what a cell imports; a promise only when a module can be had no other way. */
  load(specifiers: readonly string[]): undefined | Promise<void>;
  /** Give the variable `local` an export of a loaded module; `*` is all of it. What a module changes is seen. */
  from(variables: object, local: string, specifier: string, name: string): void;
  /** What `import()` in a cell does. */
  dynamic(specifier: string): Promise<unknown>;
  readonly require: NodeJS.Require;
}

type Namespace = Record<string, unknown>;

const slashed = (path: string) => path.replaceAll('\\', '/');
const isNamespace = (module: unknown): module is Namespace =>
  typeof module === 'object' &&
  module !== null &&
  (Object.prototype.toString.call(module) === '[object Module]' ||
    (module as Namespace).__esModule === true);

/** A CommonJS module seen as an ES module: its exports by name, all of it as the default. */
function asNamespace(module: unknown): Namespace {
  if (isNamespace(module)) return module;
  const named = typeof module === 'object' || typeof module === 'function' ? { ...module } : {};
  return { ...named, default: module };
}

const isOwnFile = (specifier: string) => /^\.\.?\//.test(specifier);

/** Only ES modules change what they export; what the library and Node export is as fast as any variable. */
const mayChange = (specifier: string, module: unknown): module is Namespace =>
  isNamespace(module) &&
  (isOwnFile(specifier) || Object.prototype.toString.call(module) === '[object Module]');

function put(variables: object, local: string, value: unknown): void {
  const shown = { writable: true, enumerable: true, configurable: true };
  Object.defineProperty(variables, local, { value, ...shown });
}

/** The variable is what the module exports at any time, until a later cell declares it anew. */
function follow(variables: object, local: string, module: Namespace, name: string): void {
  Object.defineProperty(variables, local, {
    get: () => module[name],
    set: (value) => put(variables, local, value),
    enumerable: true,
    configurable: true,
  });
}

/**
 * @param cwd the folder that relative paths and packages are looked for from
 * @param sideFiles emitted JavaScript of the source files beside the notebook
 */
export function createModules(cwd: string, sideFiles: ReadonlyMap<string, string>): Modules {
  const loaded = new Map<string, unknown>();
  const sides = new Map<string, { text: string; module: Module }>();
  const base = createRequire(join(cwd, 'cell.js'));
  const importFromHere: (specifier: string) => Promise<unknown> = vm.runInThisContext(
    '(specifier) => import(specifier)',
    {
      filename: join(cwd, 'cell.js'),
      importModuleDynamically: vm.constants.USE_MAIN_CONTEXT_DEFAULT_LOADER,
    },
  );

  function sideFile(specifier: string, folder: string): Module | undefined {
    if (!isOwnFile(specifier)) return undefined;
    const path = slashed(resolve(folder, specifier)).replace(/\.(ts|js)$/, '');
    const file = `${path}.js`;
    const text = sideFiles.get(file);
    if (text === undefined) return undefined;
    const before = sides.get(file);
    if (before?.text === text) return before.module;
    const module = new Module(file) as Module & { _compile(code: string, file: string): void };
    module.filename = file;
    module.require = requireFrom(dirname(file), createRequire(file));
    sides.set(file, { text, module });
    module._compile(text, file);
    return module;
  }

  function requireFrom(folder: string, plain: NodeJS.Require): NodeJS.Require {
    const find = (specifier: string) => {
      if (specifier === 'multislit') return cellLibrary();
      // Data that was changed is read again, like source.
      if (isOwnFile(specifier) && specifier.endsWith('.json'))
        delete plain.cache[plain.resolve(specifier)];
      return sideFile(specifier, folder)?.exports ?? plain(specifier);
    };
    return Object.assign(find, plain);
  }

  const require = requireFrom(cwd, base);

  function loadOne(specifier: string): undefined | Promise<void> {
    try {
      loaded.set(specifier, require(specifier));
      return undefined;
    } catch (error) {
      const code = (error as NodeJS.ErrnoException).code ?? '';
      if (!/^ERR_(REQUIRE_ESM|REQUIRE_ASYNC_MODULE|PACKAGE_PATH_NOT_EXPORTED)$/.test(code))
        throw error;
      return importFromHere(specifier).then((module) => void loaded.set(specifier, module));
    }
  }

  return {
    require,
    load(specifiers) {
      const waiting = specifiers.map(loadOne).filter((one) => one !== undefined);
      return waiting.length > 0 ? Promise.all(waiting).then(() => {}) : undefined;
    },
    from(variables, local, specifier, name) {
      const module = loaded.get(specifier);
      if (name === '*') put(variables, local, asNamespace(module));
      else if (name === 'default' && !isNamespace(module)) put(variables, local, module);
      else if (mayChange(specifier, module)) follow(variables, local, module, name);
      else put(variables, local, (module as Namespace)[name]);
    },
    async dynamic(specifier) {
      await loadOne(specifier);
      return asNamespace(loaded.get(specifier));
    },
  };
}

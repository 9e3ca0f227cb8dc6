import type { ModuleLoader } from '../host';

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

/** The modules of one session, found by `loader`. */
export function createModules(loader: ModuleLoader): Modules {
  const loaded = new Map<string, unknown>();

  function loadOne(specifier: string): undefined | Promise<void> {
    try {
      loaded.set(specifier, loader.require(specifier));
      return undefined;
    } catch (error) {
      if (!loader.mustWait(error)) throw error;
      return loader.import(specifier).then((module) => void loaded.set(specifier, module));
    }
  }

  return {
    require: loader.require,
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

import { seeded } from '../../kernel-lib/numerics/random';

/** What can be used at a place in a program: names of numbers, of those the ones to assign to, and of functions. */
interface Scope {
  readonly numbers: ReadonlySet<string>;
  readonly lets: ReadonlySet<string>;
  readonly calls: ReadonlySet<string>;
}

type Writable = { [Part in keyof Scope]: Set<string> };

interface Declared {
  readonly text: string;
  readonly after: Scope;
}

const pool = ['a', 'b', 'c', 'd', 'w', 'x'];

function hiding(scope: Scope, names: readonly string[]): Writable {
  const left = (set: ReadonlySet<string>): Set<string> =>
    new Set([...set].filter((name) => !names.includes(name)));
  return { numbers: left(scope.numbers), lets: left(scope.lets), calls: left(scope.calls) };
}

function withNumber(scope: Scope, name: string, isLet = false): Scope {
  const { numbers, lets, calls } = hiding(scope, [name]);
  return { numbers: numbers.add(name), lets: isLet ? lets.add(name) : lets, calls };
}

function withCall(scope: Scope, name: string): Scope {
  const { numbers, lets, calls } = hiding(scope, [name]);
  return { numbers, lets, calls: calls.add(name) };
}

/**
 * The top-level statements of a program of nested scopes, closures, loops, classes, destructuring and defaults, the
 * same for the same seed. Few names are declared again and again, so that nearly every scope hides one of
 * another; none is read before it has a value. It is plain JavaScript, and traces numbers by `trace(…)`.
 */
export function generatedProgram(seed: number): string[] {
  const { whole } = seeded(seed);
  const pick = <T>(list: Iterable<T>): T => {
    const all = [...list];
    return all[whole(all.length)];
  };
  const some = (most: number) => [
    ...new Set(Array.from({ length: whole(most + 1) }, () => pick(pool))),
  ];
  let count = 0;
  const fresh = () => {
    count += 1;
    return `$${count}`;
  };

  function number(scope: Scope, depth: number): string {
    const name = pick(pool);
    const inner = withNumber(scope, name);
    const outer = hiding(scope, [name]);
    switch (depth <= 0 ? whole(3) : whole(13)) {
      case 0:
        return String(1 + whole(9));
      case 1:
      case 2:
        return scope.numbers.size > 0 ? pick(scope.numbers) : '7';
      case 3:
        return `(${number(scope, depth - 1)} + ${number(scope, depth - 1)})`;
      case 4:
        return scope.calls.size > 0 ? `${pick(scope.calls)}()` : '5';
      case 5:
        return `(${callable(scope, depth - 1)})(${number(scope, 0)})`;
      case 6:
        return `(${number(scope, 0)} % 2 ? ${number(scope, depth - 1)} : ${number(scope, 0)})`;
      case 7:
        return scope.numbers.size > 0
          ? `Object.values({ ${pick(scope.numbers)}, [\`k\${${number(scope, 0)}}\`]: 1 }).length`
          : '4';
      case 8:
        return `[${number(scope, 0)}, 2].map((${name}) => ${number(inner, depth - 1)}).at(-1)`;
      case 9:
        return `({ ${name}(${name} = ${number(outer, 0)}) { ${body(inner, depth - 1, [name])} } }).${name}()`;
      case 10:
        return `(function ${name}(n) { return n < 1 ? ${number(outer, 0)} : ${name}(n - 1); })(2)`;
      case 11:
        return scope.lets.size > 0
          ? `(${pick(scope.lets)} ${pick(['+=', '=', '-='])} ${number(scope, 0)})`
          : '6';
      default:
        return scope.lets.size > 0 ? `${pick(scope.lets)}++` : '8';
    }
  }

  /** Defaults see outer names and the parameters before them, never what the body declares. */
  function parameters(scope: Scope, depth: number) {
    const names = some(3);
    let inner: Scope = hiding(scope, names);
    const texts = names.map((name) => {
      const given = number(inner, depth);
      inner = withNumber(inner, name, true);
      return pick([
        `${name} = ${given}`,
        `{ ${name} = ${given} } = {}`,
        `[${name} = ${given}] = []`,
        `{ k: { ${name} } = { ${name}: ${given} } } = {}`,
      ]);
    });
    return { text: ['$p', ...texts].join(', '), names, inner };
  }

  function callable(scope: Scope, depth: number): string {
    const { text, names, inner } = parameters(scope, depth - 1);
    const code = body(inner, depth, names);
    return pick([`(${text}) => { ${code} }`, `function (${text}) { ${code} }`]);
  }

  /** The inside of a function that returns a number. */
  function body(scope: Scope, depth: number, parameterNames: readonly string[]): string {
    const again = parameterNames.length > 0 && whole(3) === 0;
    // Declared again as `var`, a parameter is still the parameter.
    const repeated = again ? `var ${pick(parameterNames)};` : '';
    const { text, after } = block(scope, depth, parameterNames);
    return `${repeated} ${text} return ${number(after, depth)};`;
  }

  /** What a block declares is chosen first: before its line a name is hidden, and so not used. */
  function block(scope: Scope, depth: number, taken: readonly string[] = []): Declared {
    const names = some(2).filter((name) => !taken.includes(name));
    let now: Scope = hiding(scope, names);
    let text = '';
    for (const name of names) {
      const declared = declaration(name, now, depth - 1, false);
      now = declared.after;
      text += `${declared.text} ${depth > 0 ? statement(now, depth - 1) : ''} `;
    }
    return { text, after: now };
  }

  function declaration(name: string, scope: Scope, depth: number, isTop: boolean): Declared {
    const given = number(scope, depth);
    switch (whole(isTop ? 11 : 8)) {
      case 0:
        return {
          text: `function ${name}() { ${body(scope, depth, [])} }`,
          after: withCall(scope, name),
        };
      case 1:
        return {
          text: `const ${name} = ${callable(scope, depth)}; trace(${name}.name);`,
          after: withCall(scope, name),
        };
      case 2: {
        const other = fresh();
        const text = `let { ${name}, ${other}: [${other} = ${number(scope, 0)}] } = { ${name}: ${given}, ${other}: [] };`;
        return { text: `${text} trace(${other});`, after: withNumber(scope, name, true) };
      }
      case 3:
        return { text: `const [, ${name} = ${given}] = [1];`, after: withNumber(scope, name) };
      case 4: {
        const made = fresh();
        return {
          text: `${classText(made, scope, depth)} const ${name} = () => new ${made}().sum();`,
          after: withCall(scope, name),
        };
      }
      case 5:
        return {
          text: `let ${name}; ${name} = () => ${given}; trace(${name}.name);`,
          after: withCall(scope, name),
        };
      case 6:
        return { text: `let ${name} = ${given};`, after: withNumber(scope, name, true) };
      case 7:
        return {
          text: `const { ${name} = ${given}, ...${fresh()} } = {};`,
          after: withNumber(scope, name),
        };
      case 8: {
        const after = withNumber(scope, name, true);
        const step = fresh();
        return {
          text: `for (var ${name} = ${given}, ${step} = 0; ${step} < 2; ${step}++) { ${statement(after, depth)} ${name} += ${step}; }`,
          after,
        };
      }
      case 9:
        return {
          text: `if (true) { var ${name} = ${given}; }`,
          after: withNumber(scope, name, true),
        };
      default:
        return {
          text: `for (var ${name} of [1, ${given}]) { var ${name}; trace(${name}); }`,
          after: withNumber(scope, name, true),
        };
    }
  }

  function classText(name: string, scope: Scope, depth: number): string {
    const [key, other] = [pick(pool), pick(pool)];
    const inner = withNumber(scope, key);
    const outer = hiding(scope, [key]);
    const parts = [
      `${key} = ${number(scope, depth)};`,
      `#own = ${number(scope, 0)};`,
      `static ${other} = ${number(scope, 0)};`,
      `static { const ${key} = ${number(outer, 0)}; var ${fresh()} = 1; trace(${key}); }`,
      `get inside() { ${body(scope, depth - 1, [])} }`,
      `['of' + ${number(scope, 0)}](${key}) { return ${key}; }`,
      `sum(${key} = ${number(outer, 0)}) { ${block(inner, depth - 1, [key]).text} return this.#own + this.${key} + ${name}.${other} + this.inside; }`,
    ];
    return `class ${name} { ${parts.join(' ')} }`;
  }

  function statement(scope: Scope, depth: number): string {
    const [name, other] = [pick(pool), pick(pool)];
    const inner = withNumber(scope, name);
    const outer = hiding(scope, [name]);
    switch (depth <= 0 ? whole(2) : whole(11)) {
      case 0:
        return `trace(${number(scope, depth)});`;
      case 1:
        return `trace(typeof ${scope.numbers.size > 0 ? pick(scope.numbers) : 'undefinedHere'});`;
      case 2: {
        const list = fresh();
        const { text, after } = block(inner, depth - 1);
        const call = `(${other} = ${number(hiding(after, [other]), 0)}) => ${number(withNumber(after, other), 1)}`;
        return `{ const ${list} = []; for (let ${name} = 0; ${name} < 3; ${name}++) { ${text} ${list}.push(${call}); } for (const f of ${list}) trace(f()); }`;
      }
      case 3: {
        const first = fresh();
        return `for (const { ${name}, ${name}: [${first}] } of [{ ${name}: [${number(outer, 0)}] }]) { trace(${first}); ${statement(outer, depth - 1)} }`;
      }
      case 4: {
        const { text, after } = block(inner, depth - 1, [name]);
        return `try { throw { ${name}: ${number(scope, 0)} }; } catch ({ ${name} }) { ${text} trace(${number(after, 1)}); }`;
      }
      case 5: {
        const { text, after } = block(scope, depth - 1);
        return `{ ${text} trace(${number(after, depth - 1)}); }`;
      }
      case 6:
        return `switch (${number(scope, 0)} % 2) { case 0: { let ${name} = ${number(outer, 0)}; trace(${number(inner, 1)}); } default: let ${name} = ${number(outer, 0)}; trace(${number(inner, 1)}); }`;
      case 7: {
        if (scope.lets.size < 2) return `trace(${number(scope, 1)});`;
        const [one, two] = [pick(scope.lets), pick(scope.lets)];
        return `[${one}, ${two} = ${number(scope, 0)}] = [${two}]; ({ ${one}, k: ${two} = 3, ...${one} } = { ${one}: ${number(scope, 0)} }); ${one} = 2; trace(${one} + ${two});`;
      }
      case 8:
        return `${name}: for (let ${other} = 0; ${other} < 3; ${other}++) { if (${other} === 1) continue ${name}; trace(${number(withNumber(scope, other), 1)}); }`;
      case 9:
        return scope.lets.size > 0
          ? `for (${pick(scope.lets)} of [${number(scope, 0)}, ${number(scope, 0)}]) ${statement(scope, 0)}`
          : `trace(${callable(scope, 1)}());`.replace('trace(', 'trace((').replace('());', ')());');
      default:
        return `trace([...(function* (${name} = ${number(outer, 0)}) { yield ${number(inner, depth - 1)}; yield* [${number(inner, 0)}]; })()].join());`;
    }
  }

  let scope: Scope = { numbers: new Set(), lets: new Set(), calls: new Set() };
  const statements: string[] = [];
  for (const name of [...pool].sort(() => whole(2) - 0.5)) {
    const { text, after } = declaration(name, scope, 2, true);
    scope = after;
    statements.push(text, statement(scope, 2));
  }
  return statements;
}

import { formatWithOptions, inspect } from 'node-inspect-extracted';
import type { StreamName } from '../cells/host';

/** A console that prints as Node's does (https://nodejs.org/api/console.html), where there is no Node. */
export class PrintedConsole {
  private indent = '';
  private readonly counts = new Map<string, number>();
  private readonly begun = new Map<string, number>();

  /** @param print prints text to one of the two streams */
  constructor(
    private readonly print: (name: StreamName, text: string) => void,
    readonly clear: () => void,
  ) {
    // Cells take methods apart from their console: `list.forEach(console.log)`.
    for (const name of Object.getOwnPropertyNames(PrintedConsole.prototype)) {
      const method = this[name as keyof this];
      if (typeof method === 'function') Object.assign(this, { [name]: method.bind(this) });
    }
  }

  private put(name: StreamName, given: readonly unknown[]): void {
    const text = formatWithOptions({ colors: false }, ...given);
    this.print(name, `${this.indent}${text.replaceAll('\n', `\n${this.indent}`)}\n`);
  }

  log(...given: unknown[]): void {
    this.put('stdout', given);
  }
  info(...given: unknown[]): void {
    this.put('stdout', given);
  }
  debug(...given: unknown[]): void {
    this.put('stdout', given);
  }
  dirxml(...given: unknown[]): void {
    this.put('stdout', given);
  }
  warn(...given: unknown[]): void {
    this.put('stderr', given);
  }
  error(...given: unknown[]): void {
    this.put('stderr', given);
  }

  dir(value: unknown, options?: object): void {
    this.put('stdout', [inspect(value, { customInspect: false, ...options })]);
  }

  trace(...given: unknown[]): void {
    const error = Object.assign(new Error(formatWithOptions({}, ...given)), { name: 'Trace' });
    this.put('stderr', [error.stack]);
  }

  assert(holds?: unknown, ...given: unknown[]): void {
    if (holds) return;
    const [first, ...rest] = given;
    if (typeof first === 'string') this.put('stderr', [`Assertion failed: ${first}`, ...rest]);
    else this.put('stderr', ['Assertion failed', ...given]);
  }

  group(...given: unknown[]): void {
    if (given.length > 0) this.log(...given);
    this.indent += '  ';
  }
  groupCollapsed(...given: unknown[]): void {
    this.group(...given);
  }
  groupEnd(): void {
    this.indent = this.indent.slice(2);
  }

  count(label = 'default'): void {
    const count = (this.counts.get(String(label)) ?? 0) + 1;
    this.counts.set(String(label), count);
    this.log(`${label}: ${count}`);
  }
  countReset(label = 'default'): void {
    this.counts.delete(String(label));
  }

  time(label = 'default'): void {
    this.begun.set(String(label), performance.now());
  }
  timeLog(label = 'default', ...given: unknown[]): void {
    const begun = this.begun.get(String(label));
    if (begun !== undefined) this.log(`${label}: ${duration(performance.now() - begun)}`, ...given);
  }
  timeEnd(label = 'default'): void {
    this.timeLog(label);
    this.begun.delete(String(label));
  }

  table(data: unknown, columns?: readonly string[]): void {
    if (typeof data === 'object' && data !== null) this.log(tableOf(data, columns));
    else this.log(data);
  }
}

/** A time in the unit that suits it. */
function duration(ms: number): string {
  return ms < 1000 ? `${Number(ms.toFixed(3))}ms` : `${(ms / 1000).toFixed(3)}s`;
}

function cellText(value: unknown): string {
  const isDeep =
    typeof value === 'object' &&
    value !== null &&
    Object.keys(value).length > 2 &&
    !Array.isArray(value);
  return inspect(value, {
    maxArrayLength: 3,
    breakLength: Number.POSITIVE_INFINITY,
    depth: isDeep ? -1 : 0,
  });
}

/** Rows of what has properties, or plain values, in a frame of lines. */
function tableOf(data: object, columns?: readonly string[]): string {
  const keys: string[] = [...(columns ?? [])];
  let hasPlain = false;
  const pairs: [string, unknown][] =
    data instanceof Map
      ? [...data].map(([key, value], n) => [String(n), { Key: key, Value: value }])
      : data instanceof Set
        ? [...data].map((value, n) => [String(n), value])
        : Object.entries(data);
  const rows = pairs.map(([index, value]) => {
    if (typeof value !== 'object' || value === null) {
      hasPlain = true;
      return { index, plain: cellText(value), cells: new Map<string, string>() };
    }
    const own = Object.entries(value).filter(([key]) => !columns || columns.includes(key));
    for (const [key] of own) if (!keys.includes(key)) keys.push(key);
    return { index, plain: '', cells: new Map(own.map(([key, one]) => [key, cellText(one)])) };
  });
  const head = ['(index)', ...keys, ...(hasPlain ? ['Values'] : [])];
  const body = rows.map(({ index, plain, cells }) => [
    index,
    ...keys.map((key) => cells.get(key) ?? ''),
    ...(hasPlain ? [plain] : []),
  ]);
  const widths = head.map((text, n) =>
    Math.max(...[head, ...body].map((row) => row[n].length), text.length),
  );
  const rule = (left: string, middle: string, right: string) =>
    left + widths.map((width) => '─'.repeat(width + 2)).join(middle) + right;
  const line = (row: readonly string[]) =>
    `│ ${row.map((text, n) => text.padEnd(widths[n])).join(' │ ')} │`;
  return [
    rule('┌', '┬', '┐'),
    line(head),
    rule('├', '┼', '┤'),
    ...body.map(line),
    rule('└', '┴', '┘'),
  ].join('\n');
}

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

/** A row before it is laid out: its index, its cells by column, and a value that has none. */
type Row = readonly [index: string, cells: ReadonlyMap<string, string>, plain?: string];

/** Rows of what has properties, of plain values, or of what a map or set holds, in a frame of lines. */
function tableOf(data: object, columns?: readonly string[]): string {
  if (data instanceof Map || data instanceof Set) {
    const steps = [...data].map((step: unknown, n): Row => {
      const [key, value] = data instanceof Map ? (step as [unknown, unknown]) : [undefined, step];
      return [String(n), new Map([['Key', cellText(key)]]), cellText(value)];
    });
    return framed('(iteration index)', data instanceof Map ? ['Key', 'Values'] : ['Values'], steps);
  }
  const names: string[] = [...(columns ?? [])];
  const rows = Object.entries(data).map(([index, value]): Row => {
    if (typeof value !== 'object' || value === null) return [index, new Map(), cellText(value)];
    const own = Object.entries(value).filter(([name]) => !columns || columns.includes(name));
    for (const [name] of own) if (!names.includes(name)) names.push(name);
    return [index, new Map(own.map(([name, one]) => [name, cellText(one)]))];
  });
  const hasPlain = !columns && rows.some(([, , plain]) => plain !== undefined);
  return framed('(index)', hasPlain ? [...names, 'Values'] : names, rows);
}

/** Lines around a head and its rows; what has no columns stands in the last one, under Values. */
function framed(first: string, names: readonly string[], rows: readonly Row[]): string {
  const head = [first, ...names];
  const body = rows.map(([index, cells, plain]) => [
    index,
    ...names.map((name, n) =>
      name === 'Values' && n === names.length - 1 && plain !== undefined
        ? plain
        : (cells.get(name) ?? ''),
    ),
  ]);
  const all = [head, ...body];
  const widths = head.map((_, n) => Math.max(...all.map((row) => row[n].length)));
  const rule = (left: string, middle: string, right: string) =>
    left + widths.map((width) => '─'.repeat(width + 2)).join(middle) + right;
  const padded = (text: string, n: number) => text.padEnd(widths[n]);
  const line = (row: readonly string[]) => `│ ${row.map(padded).join(' │ ')} │`;
  return [
    rule('┌', '┬', '┐'),
    line(head),
    rule('├', '┼', '┤'),
    ...body.map(line),
    rule('└', '┴', '┘'),
  ].join('\n');
}

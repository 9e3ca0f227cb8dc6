/** One `@example` of a docstring: statements, then a last line `expression // value`. */
export interface Example {
  readonly code: string;
  /** What the comment says, without the explanation that may follow a colon; undefined where it says nothing. */
  readonly value: string | undefined;
}

/** All examples in the docstrings of a source text. */
export function readExamples(source: string): Example[] {
  return [...source.matchAll(/\/\*\*([\s\S]*?)\*\//g)].flatMap(([, comment]) =>
    comment
      .replace(/^\s*\* ?/gm, '')
      .split(/^(?=@)/m)
      .filter((tag) => tag.startsWith('@example'))
      .map((tag) => readExample(tag.slice('@example'.length).trim())),
  );
}

function readExample(text: string): Example {
  const lines = text.split('\n');
  const last = /^(.*?)(?: \/\/ (.+))?$/.exec(lines[lines.length - 1]) as RegExpExecArray;
  const code = [...lines.slice(0, -1), last[1]].join('\n');
  return { code, value: last[2]?.replace(/: .*$/, (rest) => (rest.endsWith('}') ? rest : '')) };
}

/** Run one where `scope` is at hand, and give back the value of its last line. */
export function runExample(code: string, scope: Readonly<Record<string, unknown>>): unknown {
  // The last expression begins after the last line that ends a statement.
  const statements = code.split(/(?<=;\n)(?=\S)/);
  const expression = statements.pop() as string;
  const body = `${statements.join('')}return (${expression.replace(/;$/, '')});`;
  return new Function(...Object.keys(scope), body)(...Object.values(scope));
}

/** How far a number may lie from one that is printed as `digits`. */
function slack(digits: string): number {
  const [, whole, decimals = '', cut, exponent = '0'] =
    /^-?(\d+)(?:\.(\d+))?(…)?(?:e(-?\d+))?$/.exec(digits) as RegExpExecArray;
  const lastPlace = 10 ** (Number(exponent) - decimals.length);
  const size = Math.abs(Number(digits.replace('…', '')));
  // One or two digits, as in 2e-4, are meant exactly; 0.31… is cut; all else is rounded.
  if (cut) return lastPlace;
  const significant = `${whole}${decimals}`.replace(/^0+/, '').length;
  return Math.max(1e-12, 1e-12 * size, significant > 2 ? 0.5000001 * lastPlace : 0);
}

const number = /-?\d+(?:\.\d+)?…?(?:e-?\d+)?/g;

/** What is wrong with `found`, which should be what the comment says; '' when nothing. */
export function compareExample(found: unknown, value: string): string {
  const told: unknown = new Function(`return (${value.replace(/…/g, '')});`)();
  const written =
    typeof told === 'string' ? [] : [...value.replace(/\w+: ?/g, '').matchAll(number)];
  const numbers: number[] = [];
  const bare = (x: unknown): unknown => {
    if (typeof x === 'number' && Number.isFinite(x)) return numbers.push(x) && 'number';
    if (Array.isArray(x) || x instanceof Float64Array) return Array.from(x, bare);
    if (typeof x === 'object' && x !== null)
      return Object.fromEntries(Object.entries(x).map(([key, part]) => [key, bare(part)]));
    return String(x);
  };
  const shapes = [told, found].map((x) => JSON.stringify(bare(x)));
  if (shapes[0] !== shapes[1]) return `it is ${shapes[1]}, not ${shapes[0]}`;
  const half = numbers.length / 2;
  const off = written.filter(
    ([digits], i) => !(Math.abs(numbers[half + i] - numbers[i]) <= slack(digits)),
  );
  if (written.length !== half) return `${half} numbers, but ${written.length} are written`;
  return off.length === 0 ? '' : `it is ${numbers.slice(half).join()}, not ${value}`;
}

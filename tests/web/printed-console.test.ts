import { Console } from 'node:console';
import { Writable } from 'node:stream';
import { expect, test } from 'vitest';
import { PrintedConsole } from '../../kernel-lib/web/printed-console';

// What Node's own console prints is what a cell in the browser prints.

type Act = (console: Console) => void;

function byNode(act: Act): string {
  let text = '';
  const stream = new Writable({
    write(piece, _, done) {
      text += piece;
      done();
    },
  });
  act(new Console({ stdout: stream, stderr: stream, colorMode: false }));
  return text;
}

function byOurs(act: Act): string {
  let text = '';
  const print = (_: string, piece: string) => {
    text += piece;
  };
  act(new PrintedConsole(print, () => {}) as unknown as Console);
  return text;
}

const acts: Record<string, Act> = {
  texts: (c) => c.log('a', 1, 'b', -0, 1e21, 10n, null, undefined, true),
  'places in a text': (c) =>
    c.log('%s of %d, %i, %j and %o%%', 'one', 2.5, 2.5, { a: 1 }, [1], 'more'),
  values: (c) => c.log({ a: [1, { b: { c: { d: 1 } } }], s: 'x\ny' }, new Map([[1, 2]]), ['x']),
  'what has a class': (c) =>
    c.log(
      new (class Slit {
        width = 1;
      })(),
      () => 1,
      Symbol('s'),
      new Date(0),
    ),
  'long lists': (c) =>
    c.log(
      Array.from({ length: 200 }, (_, n) => n / 8),
      new Float64Array(3),
    ),
  dir: (c) => c.dir({ a: { b: { c: { d: 1 } } } }, { depth: 0 }),
  groups: (c) => {
    c.group('outer');
    c.log('two\nlines');
    c.group();
    c.warn({ a: 1 });
    c.groupEnd();
    c.groupEnd();
    c.error('out');
  },
  counts: (c) => {
    c.count();
    c.count('n');
    c.count();
    c.countReset();
    c.count();
  },
  assertions: (c) => {
    c.assert(true, 'no');
    c.assert(false);
    c.assert(0, 'what %s', 'else');
  },
  'taken apart': ({ log }) => {
    for (const print of [log]) print(1);
  },
  'a table of objects': (c) =>
    c.table([
      { a: 1, b: 'xx' },
      { a: 22, c: [1, 2] },
    ]),
  'a table of values': (c) => c.table([1.5, 'two', null]),
  'a table of rows': (c) =>
    c.table([
      [1, 2],
      [3, 4],
    ]),
  'some columns of a table': (c) =>
    c.table(
      [
        { a: 1, b: 2 },
        { a: 3, b: 4 },
      ],
      ['b'],
    ),
  'a table by names': (c) => c.table({ north: { s: 1 }, south: { s: 2 } }),
  'tables of maps and sets': (c) => {
    const found = new Map<unknown, unknown>([
      ['k', 1],
      ['long key', { a: 1 }],
    ]);
    for (const each of [found, new Map(), new Set([1, { a: 2 }]), new Set('ab')]) c.table(each);
  },
  'tables of little': (c) => {
    for (const each of [[], {}, [[]], [{}, []], null, new Float64Array([1.5, 2])]) c.table(each);
  },
  'tables of much': (c) => {
    c.table([{ a: { b: 1, c: 2 } }, { a: { b: 1, c: 2, d: 3 } }, { a: [1, 2, 3, 4] }]);
    c.table([1, [2, 3], { a: 4 }]);
    c.table([{ a: () => 1, b: undefined, c: Symbol('s') }]);
  },
  'columns that are not there': (c) => {
    c.table([{ a: 1, b: 2 }], ['b', 'z']);
    c.table([1, 2], ['a']);
  },
  'no table': (c) => c.table('text'),
};

test.each(Object.entries(acts))('%s', (_, act) => {
  expect(byNode(act)).not.toBe('');
  expect(byOurs(act)).toBe(byNode(act));
});

import { describe, expect, test } from 'vitest';
import { type CameAlong, companionsOf } from '../../kernel-lib/marking/companions';
import { besideLimits, isBesideName, namesInCells } from '../../kernel-lib/travels/files-beside';

const file = (path: string, more: Partial<CameAlong> = {}): CameAlong => ({
  path,
  name: path.slice(path.lastIndexOf('/') + 1),
  size: 1000,
  digest: path,
  ...more,
});
const mine = (names: readonly string[] = [], path = 'a.zip/sheet.ipynb', student = '1001') => ({
  path,
  student,
  names,
});
const read = (files: readonly CameAlong[], names: readonly string[] = []) => {
  const { files: got, says } = companionsOf(files, [mine(names)]).withReturns[0];
  return { names: got.map(({ name }) => name), got, says };
};

describe('whose files are whose', () => {
  const two = [mine([], 'x/1.ipynb', '1001'), mine([], 'x/2.ipynb', '1002')];

  test('those in the very folder of the notebook, and of no other', () => {
    const places = ['a.zip/my.jpg', 'a.zip/data/my.csv', 'b.zip/other.jpg', 'loose.jpg'];
    const found = companionsOf(
      places.map((path) => file(path)),
      [mine()],
    );
    expect(found.withReturns[0].files.map(({ name }) => name)).toEqual(['my.jpg']);
    expect([...found.taken]).toEqual(['a.zip/my.jpg']);
  });

  test('where two students’ notebooks lie together only what carries their number', () => {
    const files = ['x/my.jpg', 'x/1002 my.jpg', 'x/1001 1002.csv'].map((path) => file(path));
    const { withReturns } = companionsOf(files, two);
    expect(withReturns.map(({ files: each }) => each.map(({ name }) => name))).toEqual([
      [],
      ['1002 my.jpg'],
    ]);
  });

  test('a number that a course puts in front of a name is settled, and told', () => {
    const named = [two[0], { ...two[1], names: ['my.jpg'] }];
    const [, { files, says }] = companionsOf([file('x/Ada_1002_my.jpg')], named).withReturns;
    expect(files).toMatchObject([{ name: 'my.jpg', digest: 'x/Ada_1002_my.jpg' }]);
    expect(says).toEqual(['Ada_1002_my.jpg is read as my.jpg, as the cells call it.']);
  });

  test.each(['a.zip/../my.jpg', 'a.zip//my.jpg', 'a.zip/../../etc/my.jpg', '/my.jpg', 'C:/my.jpg'])(
    'what climbs out of its archive is nobody’s: %s',
    (path) => {
      expect(read([file(path)], ['my.jpg'])).toMatchObject({ names: [], says: [] });
    },
  );
});

describe('names', () => {
  test('capital letters that a system changed are settled, and told', () => {
    const { got, says } = read([file('a.zip/MY.JPG')], ['my.jpg']);
    expect(got).toMatchObject([{ name: 'my.jpg', digest: 'a.zip/MY.JPG' }]);
    expect(says).toEqual(['MY.JPG is read as my.jpg, as the cells call it.']);
  });

  test('an exact name comes before one that differs by case', () => {
    const { got, says } = read([file('a.zip/My.jpg'), file('a.zip/my.jpg')], ['my.jpg']);
    expect(got).toContainEqual({ name: 'my.jpg', size: 1000, digest: 'a.zip/my.jpg' });
    expect(says).toEqual([]);
  });

  test('two that differ by case alone, of which neither is called so, are not guessed at', () => {
    const { names, says } = read([file('a.zip/My.jpg'), file('a.zip/MY.jpg')], ['my.jpg']);
    expect(names).toEqual([]);
    expect(says).toEqual([
      '2 files of this return could be my.jpg (My.jpg, MY.jpg) and differ; none of them is read.',
    ]);
  });

  test('two of one name: one where they are the same, none where they differ', () => {
    const twice = (digest: string) => [file('a.zip/my.csv'), file('a.zip/my.csv', { digest })];
    expect(read(twice('a.zip/my.csv')).names).toEqual(['my.csv']);
    const differing = read(twice('other'));
    expect(differing.names).toEqual([]);
    expect(differing.says[0]).toMatch(/^2 files of this return could be my.csv .* differ/);
  });

  // Unicode Standard Annex #15: ü is U+00FC or u and U+0308 (from memory).
  test('a letter with a mark is the same however it is put together', () => {
    const { got } = read([file('a.zip/u\u0308bung.jpg')], ['\u00fcbung.jpg']);
    expect(got).toMatchObject([{ name: '\u00fcbung.jpg' }]);
  });

  // Names that Windows keeps for itself or refuses: common practice, no source.
  test.each([
    'con.csv',
    'a:b.csv',
    '.hidden.csv',
    'a\u0000.csv',
    'a\u202egpj.csv',
    'a.csv ',
    'x.exe',
  ])('%j is no name for every system', (name) => {
    expect(isBesideName(name)).toBe(false);
    expect(read([file(`a.zip/${name}`)]).names).toEqual([]);
  });

  test('those in quotes in cells are found, in either kind of cell', () => {
    const cell = (cell_type: 'code' | 'markdown', source: string) =>
      ({ id: 'a', cell_type, source, metadata: {}, outputs: [], execution_count: null }) as never;
    const cells = [
      cell('code', `const p = readPicture('my photo.jpg'); // don't\nreadTable("./Übung.csv")`),
      cell('markdown', 'See ![spots](spots.png).'),
      cell('code', 'const word = "jpg"; readPicture(`my photo.jpg`)'),
    ];
    expect(namesInCells(cells)).toEqual(['my photo.jpg', 'Übung.csv', 'spots.png']);
  });
});

describe('bounds', () => {
  test('the first so many come along, those that cells name before others', () => {
    const many = Array.from({ length: 40 }, (_, i) => file(`a.zip/${i}.csv`));
    const { names, says } = read(many, ['39.csv']);
    expect(names).toHaveLength(besideLimits.files);
    expect(names[0]).toBe('39.csv');
    expect(says[0]).toMatch(/^Left out: .* at most 12 files and 60 MB in all\.$/);
  });

  test('what is too large is not read, and why is told', () => {
    const { names, says } = read([file('a.zip/my.jpg', { problem: 'my.jpg has 99 MB.' })]);
    expect([names, says]).toEqual([[], ['my.jpg has 99 MB.']]);
  });

  test('together they have a bound', () => {
    const size = 19 * 2 ** 20;
    const files = ['a', 'b', 'c', 'd'].map((name) => file(`a.zip/${name}.jpg`, { size }));
    expect(read(files).names).toEqual(['a.jpg', 'b.jpg', 'c.jpg']);
  });
});

import { describe, expect, test } from 'vitest';
import { csvProfile } from '../../kernel-lib/fitting/profile-csv';

const x = (text: string, options = {}) => Array.from(csvProfile(text, options).x);
const y = (text: string, options = {}) => Array.from(csvProfile(text, options).y);
const u = (text: string, options = {}) => csvProfile(text, options).u;

test.each([
  ['comma and point', 'x (mm),signal\n-1.5,10\n0,20\n1.5,12.25\n'],
  ['semicolon and decimal comma', 'x / mm;signal\n-1,5;10\n0;20\n1,5;12,25\n'],
  [
    'tabs, byte-order mark, Windows line ends',
    '\ufeffx [mm]\tsignal\r\n-1.5\t10\r\n0\t20\r\n1.5\t12.25\r\n',
  ],
  [
    'quotes, remarks, empty lines',
    '# camera 3\n"x / mm","signal"\n\n"-1.5","10"\n0,20\n# end\n1.5,12.25',
  ],
  ['out of order, exponents, a typeset minus', 'x / mm,signal\n1.5,1.225e1\n−1.5,1e1\n0,20'],
])('%s', (_, text) => {
  expect(x(text)).toEqual([-1.5e-3, 0, 1.5e-3]);
  expect(y(text)).toEqual([10, 20, 12.25]);
  expect(csvProfile(new TextEncoder().encode(text))).toEqual(csvProfile(text));
});

test('without a heading the unit is given, columns are counted from 1', () => {
  const options = { unit: 'mm', x: 2, y: 3 };
  expect(x('9;1;5\n9;2;6', options)).toEqual([1e-3, 2e-3]);
  expect(y('9;1;5\n9;2;6', options)).toEqual([5, 6]);
});

describe('sentences', () => {
  test.each([
    ['no unit', 'x,y\n1,2\n3,4', /unit of the positions is not stated in "x"/],
    ['unknown unit', 'x / inch,y\n1,2', /"inch"/],
    ['a word among the numbers', 'x / mm,y\n1,2\n2,n.a.\n', /Line 3, column 2 \(y\) is "n.a."/],
    ['a missing value', 'x / mm,y\n1,2\n2\n', /Line 3, column 2 \(y\) is ""/],
    ['heading only', 'x / mm,y\n', /no numbers under it/],
  ])('%s', (_, text, sentence) => {
    expect(() => csvProfile(text)).toThrow(RangeError);
    expect(() => csvProfile(text)).toThrow(sentence);
  });
  test('a picture that is called .csv', () => {
    expect(() => csvProfile(Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0, 0, 0, 13))).toThrow(
      /not text/,
    );
  });
});

describe('which line is the heading', () => {
  test('a heading that is partly a number, such as a column named by its wavelength', () => {
    expect(x('x / mm;546.1\n1;7\n2;8')).toEqual([1e-3, 2e-3]);
  });

  test('no heading: a first line of numbers with an empty cell is data', () => {
    expect(x('1;;5\n2;;6', { unit: 'mm', y: 3 })).toEqual([1e-3, 2e-3]);
  });

  test('no heading: columns are named by their place, also in what is said of them', () => {
    const text = '1;5\n2;6';
    expect(y(text, { unit: 'm', x: 'column 2', y: 'column 1' })).toEqual([1, 2]);
    expect(() => csvProfile('1;5\n2;-', { unit: 'm' })).toThrow(
      /^Line 2, column 2 \(column 2\) is "-"/,
    );
  });

  test('empty lines, blank lines and remarks before it do not count, whatever they hold', () => {
    expect(x('\n  \n# scan 3; lamp 2\n x / mm , y \n 1 , 5 \n   \n 2 , 6 \n')).toEqual([
      1e-3, 2e-3,
    ]);
    expect(x('\ufeff# scan 3; lamp 2\nx / mm,y\n1,5\n2,6')).toEqual([1e-3, 2e-3]);
    expect(x('# Pixel\n#\t1\nx / mm,y\n1,5\n2,6')).toEqual([1e-3, 2e-3]);
  });
});

describe('separators', () => {
  test('a semicolon comes before a comma, and so does a tab', () => {
    expect(y('x / mm;signal, raw\n1,5;2,5')).toEqual([2.5]);
    expect(y('x / mm\tsignal, raw\n1,5\t2,5')).toEqual([2.5]);
  });

  test('quoted cells may stand among spaces and hold the separator', () => {
    expect(y('"x / mm" , "counts, dark removed"\n "1" , "5"')).toEqual([5]);
  });

  test('more cells than headings: the odd ones are let be', () => {
    expect(y('x / mm,y\n1,5,saturated\n2,6')).toEqual([5, 6]);
  });

  test('a number sign inside a cell is no remark', () => {
    expect(y('x / mm,run #2\n1,5\n2,6')).toEqual([5, 6]);
  });

  test('a quote that is never closed is told, not swallowed', () => {
    expect(() => csvProfile('x / mm,y\n1,"5\n2,6')).toThrow(RangeError);
    expect(() => csvProfile('x / mm,y\n1,"5\n2,6')).toThrow(/^The CSV cannot be read: /);
  });

  test('a line without any separator is shown', () => {
    expect(() => csvProfile('just words\nand more')).toThrow(/the first line is "just words"/);
    expect(() => csvProfile('\n\n')).toThrow(/by a comma, a semicolon or a tab\.$/);
  });
});

describe('numbers', () => {
  test.each([
    ['7', 7],
    ['+7', 7],
    ['-7.25', -7.25],
    ['−0,5', -0.5],
    ['.25', 0.25],
    ['5.', 5],
    ['12.5e3', 12_500],
    ['1E-3', 1e-3],
    ['2e+12', 2e12],
    ['10,125', 10.125],
  ])('%s', (cell, value) => {
    expect(y(`x / mm;y\n1;${cell}`)).toEqual([value]);
  });

  test.each([
    '1.2.3',
    '1e',
    'e5',
    '.',
    '-',
    '--1',
    '1 000',
    '0x10',
    'Infinity',
    'about 5',
    '5 mV',
    '1.234,5',
    '1e5.5',
    '',
  ])('"%s" is none', (cell) => {
    expect(() => csvProfile(`x / mm;y\n1;2\n3;${cell}`)).toThrow(
      `Line 3, column 2 (y) is "${cell}"`,
    );
  });
});

describe('units in the heading', () => {
  test.each([
    'x/mm',
    'x / mm',
    'x/ mm',
    'x (mm)',
    'x(mm)',
    'x ( mm )',
    'x [mm]',
    'position (stage) / mm',
  ])('%s', (heading) => {
    expect(x(`${heading};y\n2;1`)).toEqual([2e-3]);
  });

  // The micro sign and the Greek letter mean the same.
  test.each([
    ['\u00b5m', 1e-6],
    ['\u03bcm', 1e-6],
    ['um', 1e-6],
    ['nm', 1e-9],
    ['cm', 1e-2],
    ['m', 1],
    ['1', 1],
  ])('in %s', (unit, factor) => {
    expect(x(`x / ${unit};y\n2;1`)[0]).toBeCloseTo(2 * factor, 18);
  });

  test('a unit that is given overrules the heading', () => {
    expect(x('x / mm;y\n2;1', { unit: 'cm' })).toEqual([2e-2]);
  });

  test.each(['x mm', 'x / mm wide', 'x / constructor', 'x'])(
    '%s: the unit is asked for',
    (name) => {
      expect(() => csvProfile(`${name};y\n2;1`)).toThrow(/^The unit of the positions is /);
    },
  );
});

describe('columns', () => {
  const text = 'pos / mm;signal (V);dark [V]\n1;5;0\n2;6;1';
  test.each([
    ['signal', [5, 6]],
    ['signal (V)', [5, 6]],
    ['dark', [0, 1]],
    [2, [5, 6]],
    [3, [0, 1]],
  ])('y: %s', (which, values) => {
    expect(y(text, { y: which })).toEqual(values);
  });

  test('a name may stand close to its unit', () => {
    expect(y('x/mm;raw/V;net/V\n1;5;4', { y: 'net' })).toEqual([4]);
  });

  test.each([0, 4, -1, 'pos / cm', 'V'])('there is no column %s', (which) => {
    expect(() => csvProfile(text, { y: which })).toThrow(/^There is no column .*"dark \[V\]"\.$/);
  });

  test('points are sorted by position, each with its signal and uncertainty', () => {
    const profile = csvProfile('x / m;y;u\n3;30;0.3\n1;10;0.1\n2;20;0.2');
    expect(profile).toEqual({
      x: Float64Array.of(1, 2, 3),
      y: Float64Array.of(10, 20, 30),
      u: Float64Array.of(0.1, 0.2, 0.3),
      saturated: undefined,
    });
  });
});

describe('the column of uncertainties', () => {
  test.each(['u', 'u / V', 'u(y)', 'u [V]', 'σ', 'σ / V', 'sigma', 'Sigma (V)', 'Uncertainty'])(
    'headed %s is found',
    (heading) => {
      expect(u(`x / mm;y;${heading}\n1;5;0.5`)).toEqual(Float64Array.of(0.5));
      expect(u(`${heading};x / mm;y\n0.5;1;5`, { x: 'x', y: 'y' })).toEqual(Float64Array.of(0.5));
    },
  );

  test.each(['up', 'u2', 'σy', 'sigmas', 'menu', 'time (u)', 'my uncertainty', 'U / V'])(
    'headed %s is not taken for one',
    (heading) => {
      expect(u(`x / mm;y;${heading}\n1;5;0.5`)).toBeUndefined();
    },
  );

  test('a position or a signal of that name is none', () => {
    expect(u('u (mm);y\n1;5')).toBeUndefined();
    expect(u('x / mm;u / V\n1;5')).toBeUndefined();
    expect(u('u (mm);u (V);σ\n1;5;0.5')).toEqual(Float64Array.of(0.5));
  });

  test('any other column, when that is said', () => {
    expect(u('x / mm;y;scatter;u\n1;5;0.25;0.5', { u: 'scatter' })).toEqual(Float64Array.of(0.25));
    expect(u('x / mm;y;scatter\n1;5;0.25', { u: 3 })).toEqual(Float64Array.of(0.25));
  });
});

describe('as instruments write them', () => {
  test('several readings at one position are one, their mean: u = √(Σ u²)/n', () => {
    const profile = csvProfile('x / mm;y;u\n2;30;0.3\n1;10;0.3\n1;20;0.4\n2;34;0.4\n1;30;1.2');
    expect([...profile.x]).toEqual([1e-3, 2e-3]);
    expect([...profile.y]).toEqual([20, 32]);
    expect(profile.u?.[0]).toBeCloseTo(1.3 / 3, 12);
    expect(profile.u?.[1]).toBeCloseTo(0.25, 12);
  });

  test('what stands above the table, and blank rows in it, are left out; lines keep their numbers', () => {
    const head = 'Long Room Scanner 3\nOperator;Edda Lund\nPoints;400\n\nx / mm;signal\n';
    expect(x(`${head}1;5\n\n;\n2;6\n`)).toEqual([1e-3, 2e-3]);
    expect(() => csvProfile(`${head}1;5\n\n2;six\n`)).toThrow(
      /^Line 8, column 2 \(signal\) is "six"/,
    );
  });

  test('two heading rows, names and units', () => {
    expect(x('Position;Voltage\nmm;V\n1,5;5\n2;6')).toEqual([1.5e-3, 2e-3]);
    expect(x('Position,Voltage\n(cm),(V)\n1,5\n2,6')).toEqual([1e-2, 2e-2]);
    expect(y('Position;Raw;Net\n[mm];[V];[V]\n1;5;4', { y: 'Net' })).toEqual([4]);
  });

  test('a run of several, as a logger heads it; a shorter run beside a longer one', () => {
    const text =
      'Position (mm) Run #1,Light (% max) Run #1,Position (mm) Run #2,Light (% max) Run #2\n1,5,1,7\n2,6,2,8\n,,3,9';
    expect(x(text)).toEqual([1e-3, 2e-3]);
    expect(y(text)).toEqual([5, 6]);
    expect(y(text, { x: 3, y: 4 })).toEqual([7, 8, 9]);
  });

  test.each([
    ['UTF-16, least byte first', 'utf16le', true],
    ['UTF-16 without its mark', 'utf16le', false],
  ] as const)('%s', (_, coding, mark) => {
    const bytes = Buffer.from(
      `${mark ? '\ufeff' : ''}x / µm\tsignal\r\n1,5\t5\r\n2\t6\r\n`,
      coding,
    );
    expect(x.call(null, bytes as unknown as string)).toEqual([1.5e-6, 2e-6]);
    // The same with the greatest byte first.
    expect([...csvProfile(new Uint8Array(Buffer.from(bytes).swap16())).y]).toEqual([5, 6]);
  });

  test('Windows’ own letters: the micro sign is one byte, B5', () => {
    const bytes = Buffer.from('x / \u00b5m;signal\n1;5\n2;6', 'latin1');
    expect([...csvProfile(new Uint8Array(bytes)).x].map((v) => v * 1e6)).toEqual([1, 2]);
  });

  test('columns of numbers that stand apart by spaces', () => {
    expect(y('# measured on the North bench\n  1.0   5\n  2.0   6 ', { unit: 'mm' })).toEqual([
      5, 6,
    ]);
    expect(x('x/mm  signal/V\n1,5 5\n2,5 6')).toEqual([1.5e-3, 2.5e-3]);
  });

  test('names in a remark, as numerical programs save them', () => {
    expect(x('# x / mm, signal\n1,5\n2,6')).toEqual([1e-3, 2e-3]);
  });

  test('saturation as a column, or as a bound of the signal', () => {
    const flagged = csvProfile('x / mm;signal;saturated\n1;5;no\n2;6;yes\n3;7;0\n4;8;1\n5;8;');
    expect([...flagged.saturated!]).toEqual([0, 1, 0, 1, 0]);
    const bound = csvProfile('x / mm;signal\n1;5\n2;4095\n3;4094\n1;4095', { full: 4095 });
    expect([...bound.saturated!]).toEqual([1, 1, 0]);
    expect(() => csvProfile('x / mm;signal;clipped\n1;5;perhaps')).toThrow(
      /^Line 2, column 3 \(clipped\) is "perhaps": 1 or 0, yes or no is expected/,
    );
  });
});

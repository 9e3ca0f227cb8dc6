import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { decode } from 'fast-png';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import {
  quantityOf,
  type StripOptions,
  stripCommand,
  stripPicture,
} from '../../kernel-lib/cli/strip';

const words: StripOptions = {
  slits: '2',
  width: '40um',
  spacing: '0.1mm',
  light: 'sunlight',
  size: '300x20',
};
/** As a person types it, up to the file. */
const typed = Object.entries(words).flatMap(([name, value]) => [`--${name}`, String(value)]);

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'strip-'));
  vi.spyOn(console, 'log').mockImplementation(() => {});
});
afterEach(() => {
  rmSync(folder, { recursive: true });
  vi.restoreAllMocks();
});

const run = (...more: string[]) =>
  stripCommand()
    .exitOverride()
    .configureOutput({ writeErr: () => {} })
    .parseAsync([...typed, ...more], { from: 'user' });

test('writes a PNG of the size asked for, and says what it shows', async () => {
  const file = join(folder, 'two.png');
  await run('--to', file, '--bare');
  const picture = decode(readFileSync(file));
  expect([picture.width, picture.height]).toEqual([300, 20]);
  expect(vi.mocked(console.log).mock.calls[0][0]).toContain(
    '2 slits 40 µm wide, 100 µm apart in sunlight',
  );
  expect(readdirSync(folder)).toEqual(['two.png']);
});

test('writes an SVG where the name says so', async () => {
  const file = join(folder, 'two.SVG');
  await run('--to', file);
  expect(readFileSync(file, 'utf8')).toMatch(/^<svg .*<\/svg>$/s);
});

test('a strip of sunlight is printed with its caution, one of the filament lamp without', async () => {
  await run('--to', join(folder, 'sun.png'), '--slits', '2,3');
  expect(vi.mocked(console.log).mock.calls[0][0]).toMatch(/blinds and burns.*safety officer/);
  await run('--to', join(folder, 'lamp.png'), '--slits', '2,3', '--light', 'filament');
  expect(vi.mocked(console.log).mock.calls[1][0]).not.toContain('safety officer');
});

test('stacks several numbers of slits, each with its label', () => {
  const figure = stripPicture({ ...words, slits: '1,2,10', along: 'degrees' });
  const { ticktext } = figure.plotly.layout.yaxis as { ticktext: string[] };
  expect(ticktext).toEqual(['1 slit', '2 slits', '10 slits']);
  expect((figure.plotly.layout.xaxis as { title: { text: string } }).title.text).toBe(
    'angle θ (°)',
  );
});

test('a span is an angle or a length of film', () => {
  const shown = (span: string) => {
    const { xaxis } = stripPicture({ ...words, span, focalLength: '500mm' }).plotly.layout;
    const [from, to] = (xaxis as { range: number[] }).range;
    return to - from;
  };
  // 2 f tan(span/2) = 2 · 500 mm · tan 2° = 34.92 mm
  expect(shown('4deg')).toBeCloseTo(34.92 * (300 / 299), 1);
  expect(shown('30mm')).toBeCloseTo(30 * (300 / 299), 1);
});

test('lights are known by name, wavelength or temperature, with a filter before them', () => {
  const alt = (light: string, passband?: string) => stripPicture({ ...words, light, passband }).alt;
  expect(alt('632.8nm')).toContain('632.8 nm');
  expect(alt('3000K')).toContain('3000 K');
  expect(alt('Sodium')).toContain('sodium lamp');
  expect(alt('sunlight', '650nm,40nm')).toContain('650 nm, 40 nm wide');
});

test('a logarithmic strip is brighter where the linear one is dark', () => {
  const pixels = (more: object) =>
    decode(stripPicture({ ...words, bare: true, ...more }).png!).data;
  const sum = (data: ArrayLike<number>) => Array.from(data).reduce((a, b) => a + b, 0);
  expect(sum(pixels({ log: true }))).toBeGreaterThan(1.3 * sum(pixels({})));
  expect(sum(pixels({ log: '6' }))).toBeGreaterThan(sum(pixels({ log: '2' })));
  expect(sum(pixels({ exposure: '20' }))).toBeGreaterThan(sum(pixels({ exposure: '1' })));
});

test.each([
  ['40um', 'length', 40e-6],
  ['40 µm', 'length', 40e-6],
  ['.1mm', 'length', 1e-4],
  ['1e-4m', 'length', 1e-4],
  ['3deg', 'angle', Math.PI / 60],
  ['3deg', 'length', undefined],
  ['40', 'length', undefined],
  ['40um2', 'length', undefined],
] as const)('%s read as %s', (text, kind, value) => {
  const read = quantityOf(text, kind);
  expect(read).toEqual(value === undefined ? undefined : expect.closeTo(value, 12));
});

test.each([
  [{ slits: '2,x' }, '"x" is not a number of slits'],
  [{ slits: '0' }, 'whole number from 1 to 10000'],
  [{ width: '40' }, '--width 40: expected a length with its unit, such as 40um'],
  [{ width: '-40um' }, 'must be above zero'],
  [{ spacing: '3K' }, '--spacing 3K: expected a length'],
  [{ spacing: undefined }, '--spacing is missing'],
  [{ spacing: '30um' }, 'overlap'],
  [{ light: 'moon' }, '--light moon: there is no such light. Known are filament, sunlight, D65'],
  [{ passband: '650nm' }, 'expected centre and width, such as --passband 650nm,40nm'],
  [{ passband: '200nm,10nm' }, 'Nothing of the light'],
  [{ size: '5x5' }, '--size 5x5: expected the pixels of one strip'],
  [{ span: '26' }, '--span 26: expected the whole angle'],
  [{ span: '200deg' }, 'between 0 and 180'],
  [{ exposure: 'bright' }, '--exposure bright: expected a number above zero'],
  [{ log: 'x' }, '--log x: expected a number above zero'],
  [{ along: 'inches' }, 'choose one of film, sine, degrees, milliradians'],
  [{ slits: '1,2', bare: true }, '--bare draws one strip'],
])('says what is wrong with %j', (wrong, message) => {
  expect(() => stripPicture({ ...words, ...wrong })).toThrow(message);
});

test('writes nothing where the folder is missing, the name is a folder, or the ending is another', async () => {
  await expect(run('--to', join(folder, 'none', 'x.png'))).rejects.toThrow('there is no folder');
  await expect(run('--to', join(folder, 'x.jpg'))).rejects.toThrow('must end in .png or .svg');
  expect(readdirSync(folder)).toEqual([]);
});

test('help lists every option', () => {
  const help = stripCommand().helpInformation();
  const options = 'slits width spacing light to passband span size exposure log along bare';
  for (const option of options.split(' ')) expect(help).toContain(`--${option}`);
});

test("the README's picture is what the library draws now, and small", () => {
  const file = fileURLToPath(new URL('../../data/pictures/strips.png', import.meta.url));
  const bytes = readFileSync(file);
  expect(bytes.length).toBeLessThan(200_000);
  const kept = decode(bytes);
  const now = decode(
    stripPicture({
      ...{ slits: '1,2,3,5,8,16', width: '40um', spacing: '100um', light: 'filament' },
      ...{ span: '52mrad', along: 'milliradians' },
    }).png!,
  );
  expect([now.width, now.height]).toEqual([kept.width, kept.height]);
  // Another machine's sine may round one step another way.
  const apart = (now.data as Uint8Array).reduce(
    (most, v, i) => Math.max(most, Math.abs(v - kept.data[i])),
    0,
  );
  expect(apart).toBeLessThanOrEqual(1);
});

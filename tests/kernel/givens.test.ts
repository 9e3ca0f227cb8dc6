import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { createCellConverter } from '../../kernel-lib/kernel/converter';
import { emptyFolder, startKernel, type TestKernel } from './kernel';

/** Sheets with some of the names and units that their own text gives to a student. */
const named: Record<string, string[]> = {
  '01-a-parallel-beam': ['sourceWidth', 'collimatorFocalLength', 'contrasts'],
  '02-one-slit': ['width', 'wavelength', 'focalLength', 'readingUncertainty'],
  '03-two-slits': ['spacing', 'missing', 'profile'],
  '04-three-and-four-slits': ['phase', 'count', 'profile'],
  '05-from-slits-to-a-grating': ['lines', 'darkLine', 'centreWidths'],
  '06-reading-the-spectrometer': ['vernier', 'known', 'directionUncertainty'],
  '07-your-own-pattern': ['marks', 'photograph', 'distance'],
};

describe('givens of a sheet have the types that the sheet says', () => {
  const folder = emptyFolder();
  const cells = createCellConverter(folder.path);
  afterAll(() => {
    cells.close();
    folder.remove();
  });

  const begun = (sheet: string) =>
    cells.convert(
      '',
      `import { begin } from 'multislit';\nconst given = begin('${sheet}', '204117');`,
    );
  const offered = (declarations: string, source: string) =>
    cells.complete(declarations, source, source.length).candidates;

  test.each(Object.entries(named))(
    '%s: names of its givens are offered after the point',
    (sheet, names) => {
      const { diagnostics, declarations } = begun(sheet);
      expect(diagnostics).toEqual([]);
      expect(offered(declarations, 'given.')).toEqual(expect.arrayContaining(names));
    },
  );

  test('what is inside a given is offered, too', () => {
    const { declarations } = begun('03-two-slits');
    expect([...offered(declarations, 'given.profile.')].sort()).toEqual([
      'counts',
      'noise',
      'positions',
    ]);
    const { declarations: sixth } = begun('06-reading-the-spectrometer');
    expect(offered(sixth, 'given.known[0].')).toEqual(
      expect.arrayContaining(['left', 'right', 'wavelength']),
    );
    expect(offered(sixth, 'given.green.left.')).not.toEqual([]);
  });

  test('the note to a given says what it is, with its unit', () => {
    const { declarations } = begun('02-one-slit');
    const said = cells.inspect(declarations, 'given.width', 8);
    expect(said).toContain('width: number');
    expect(said).toContain('Width a of the labelled slit, m.');
  });

  test('a name misspelt is found before the cell runs, and the right one is proposed', () => {
    const { declarations } = begun('02-one-slit');
    const { diagnostics } = cells.convert(
      declarations,
      'const a = 1;\nconst b = given.wavelenght;',
    );
    expect(diagnostics).toMatchObject([{ line: 2, column: 17 }]);
    expect(diagnostics[0].message).toMatch(/'wavelenght' does not exist.*'Given'.*'wavelength'/);
  });

  test('a sheet that is not known to the types is still begun, and read without types', () => {
    const { diagnostics, declarations } = begun('99-a-sheet-of-your-own');
    expect(diagnostics).toEqual([]);
    expect(cells.convert(declarations, 'given.anything.at.all').diagnostics).toEqual([]);
  });
});

describe('in a running kernel', () => {
  let kernel: TestKernel;
  beforeAll(async () => {
    kernel = await startKernel();
  });
  afterAll(() => kernel.stop());

  test('a misspelt given is an error at its line; the right one has its value', async () => {
    await kernel.run(
      "import { begin, um } from 'multislit';\nconst given = begin('02-one-slit', '204117');",
    );
    const wrong = await kernel.run('given.widht');
    expect(wrong.reply).toMatchObject({ status: 'error' });
    expect(String(wrong.reply.evalue)).toContain('widht');
    // The sheet draws its widths from 40 µm to 80 µm in whole micrometres.
    const width = Number(await kernel.text('Math.round(given.width / um(1))'));
    expect(width).toBeGreaterThanOrEqual(40);
    expect(width).toBeLessThanOrEqual(80);
    const code = 'given.wav';
    const { reply } = await kernel.request('complete_request', { code, cursor_pos: code.length });
    expect(reply.matches).toEqual(expect.arrayContaining(['wavelength', 'wavelengthUncertainty']));
  });
});

import { cpSync, existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { CellConverter } from '../../kernel-lib/cells/convert/converter';
import { nodeConverter } from '../../kernel-lib/kernel/node-session';
import { buildTypes } from '../../kernel-lib/setup/build.mjs';
import { root } from '../../kernel-lib/setup/places.mjs';
import { emptyFolder, sharedKernel } from './kernel';

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
  let cells: CellConverter;
  beforeAll(async () => {
    cells = await nodeConverter(folder.path);
  });
  afterAll(() => {
    cells.close();
    folder.remove();
  });

  const begun = (sheet: string) =>
    cells.convert(
      '',
      `import { begin } from 'multislit';\nconst given = begin('${sheet}', '204117');`,
    );
  const offered = async (declarations: string, source: string) =>
    (await cells.complete(declarations, source, source.length)).candidates;

  test.each(Object.entries(named))(
    '%s: names of its givens are offered after the point',
    async (sheet, names) => {
      const { diagnostics, declarations } = await begun(sheet);
      expect(diagnostics).toEqual([]);
      expect(await offered(declarations, 'given.')).toEqual(expect.arrayContaining(names));
    },
  );

  // A number in quotes or without, the sheet begun in the same cell or in an earlier one.
  const begins =
    "import { begin, um } from 'multislit';\nconst given = begin('02-one-slit', 204117)";
  test.each(['given.', 'const w = given.', 'um(given.', 'if (given.width > 1) given.'])(
    'at the end of %j, in the cell that begins the sheet and in a later one',
    async (source) => {
      expect(await offered('', `${begins}\n${source}`)).toContain('wavelength');
      const { declarations } = await cells.convert('', begins);
      expect(await offered(declarations, source)).toContain('wavelength');
    },
  );

  test('types come into their place with the givens in them', async () => {
    const types = join(folder.path, 'types');
    const fileIn = (place: string) => join(place, 'questions', 'sheet-givens.d.ts');
    const empty = 'export interface SheetGivens {\n}\n';
    const seen: boolean[] = [];
    const look = () => {
      if (existsSync(fileIn(types)))
        seen.push(readFileSync(fileIn(types), 'utf8').includes('02-one-slit'));
    };
    /** As the compiler leaves it: every file of the last build, and no givens yet. */
    const declare = async (place: string) => {
      cpSync(join(root, '.build', 'types'), place, { recursive: true });
      writeFileSync(fileIn(place), empty);
      look();
    };
    const looking = setInterval(look, 1);
    for (const before of [0, 1]) {
      await buildTypes(types, declare);
      look();
      expect(seen.length).toBeGreaterThan(before);
    }
    clearInterval(looking);
    expect(new Set(seen)).toEqual(new Set([true]));
    expect(readdirSync(folder.path)).toEqual(['types']);
  });

  test('what is inside a given is offered, too', async () => {
    const { declarations } = await begun('03-two-slits');
    expect([...(await offered(declarations, 'given.profile.'))].sort()).toEqual([
      'counts',
      'noise',
      'positions',
    ]);
    const { declarations: sixth } = await begun('06-reading-the-spectrometer');
    expect(await offered(sixth, 'given.known[0].')).toEqual(
      expect.arrayContaining(['left', 'right', 'wavelength']),
    );
    expect(await offered(sixth, 'given.green.left.')).not.toEqual([]);
  });

  test('the note to a given says what it is, with its unit', async () => {
    const { declarations } = await begun('02-one-slit');
    const said = await cells.inspect(declarations, 'given.width', 8);
    expect(said).toContain('width: number');
    expect(said).toContain('Width a of the labelled slit, m.');
  });

  test('a name misspelt is found before the cell runs, and the right one is proposed', async () => {
    const { declarations } = await begun('02-one-slit');
    const { diagnostics } = await cells.convert(
      declarations,
      'const a = 1;\nconst b = given.wavelenght;',
    );
    expect(diagnostics).toMatchObject([{ line: 2, column: 17 }]);
    expect(diagnostics[0].message).toMatch(/'wavelenght' does not exist.*'Given'.*'wavelength'/);
  });

  test('a sheet that is not known to the types is still begun, and read without types', async () => {
    const { diagnostics, declarations } = await begun('99-a-sheet-of-your-own');
    expect(diagnostics).toEqual([]);
    const read = await cells.convert(declarations, 'given.anything.at.all');
    expect(read.diagnostics).toEqual([]);
  });
});

describe('in a running kernel', () => {
  const kernel = sharedKernel();

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

  test('a given that a cell would change stays, and the cell hears why', async () => {
    await kernel.run(
      "import { begin, check } from 'multislit';\nconst given = begin('02-one-slit', '204117');",
    );
    const { reply } = await kernel.run('given.width = 1');
    expect(reply).toMatchObject({ status: 'error', ename: 'TypeError' });
    expect(String(reply.evalue)).toMatch(/given\.width belongs to your sheet/);
    const sloppy = await kernel.run("new Function('g', 'g.width = 1')(given)");
    expect(String(sloppy.reply.evalue)).toMatch(/given\.width belongs to your sheet/);
    expect(Number(await kernel.text('given.width'))).toBeLessThan(1);
  });
});

describe('after the student number was changed', () => {
  const kernel = sharedKernel();
  const verdict = async (code: string) => {
    const { messages } = await kernel.run(code);
    const shown = messages.find(({ header }) => header.msg_type === 'display_data');
    return String((shown?.content.data as Record<string, string> | undefined)?.['text/plain']);
  };
  const begin =
    "import { begin, check } from 'multislit';\nconst given = begin('03-two-slits', n);";

  test('what was computed before is not checked, but told; what is computed again is checked', async () => {
    await kernel.run("const n = '204117';");
    await kernel.run(begin);
    await kernel.run('const bar = (given.missing - 1) * given.width * 1e6;');
    await kernel.run('const twice = 2 * bar;');
    expect(await verdict("check('3.4', bar)")).toMatch(/^Agrees/);
    await kernel.run(begin);
    expect(await verdict("check('3.4', bar)")).toMatch(/^Agrees/);

    await kernel.run("const n = '204118';");
    await kernel.run(begin);
    expect(await verdict("check('3.4', bar)")).toMatch(
      /^Not checked: bar was computed before the student number was changed, .* Run the sheet from the top/,
    );
    // A value that comes from an older one is as old as that.
    await kernel.run('const again = twice / 2;');
    expect(await verdict("check('3.4', again)")).toMatch(/^Not checked: again was/);
    await kernel.run('const bar = (given.missing - 1) * given.width * 1e6;');
    expect(await verdict("check('3.4', bar)")).toMatch(/^Agrees/);
    expect(await verdict("check('3.4', 7)")).toMatch(/^Not yet/);
  });

  test('a changed set-up with the same number asks for the same; run again as it was, it asks for nothing', async () => {
    const changed = `${begin}\nconst finer = 1000;`;
    await kernel.run(changed);
    expect(await verdict("check('3.4', bar)")).toMatch(
      /^Not checked: bar was computed before the set-up of the sheet was changed, .* Run the sheet from the top/,
    );
    await kernel.run('const bar = (given.missing - 1) * given.width * 1e6;');
    expect(await verdict("check('3.4', bar)")).toMatch(/^Agrees/);
    await kernel.run(changed);
    expect(await verdict("check('3.4', bar)")).toMatch(/^Agrees/);
  });
});

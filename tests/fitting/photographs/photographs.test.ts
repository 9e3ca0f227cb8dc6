import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { pictureProfile } from '../../../kernel-lib/fitting/picture/picture-profile';
import { planeScale, rulerScale } from '../../../kernel-lib/fitting/picture/picture-scale';
import { type FittedSlits, fitSlits } from '../../../kernel-lib/fitting/slits/fit-slits';
import { needs } from '../../needs';

// Photographs made by photograph.py (NumPy, SciPy, Pillow; nothing of the project in it), whose slits are known. Those of
// kept/ are numbers 3, 4, 5, 9, 18, 19, 24, 25, 31, 38 and 62 of it: /usr/bin/python3 photograph.py FOLDER 0 100.

const here = fileURLToPath(new URL('.', import.meta.url));

interface Truth {
  readonly file: string;
  readonly grade: 'careful' | 'phone' | 'rough';
  readonly count: number;
  readonly width: number;
  readonly spacing: number;
  readonly wavelength: number;
  readonly distance: number;
  /** Marks of the ruler or of squared paper as somebody clicked on them, and by how much such clicks miss, pixels. */
  readonly clicks: readonly {
    readonly pixel: [number, number];
    readonly place: [number, number];
  }[];
  readonly miss: number;
  /** Where the pattern's middle is seen, and its direction, rad. */
  readonly middle: readonly [number, number];
  readonly direction: number;
}

const truthsIn = (folder: string): Truth[] =>
  JSON.parse(readFileSync(join(folder, 'truth.json'), 'utf8'));

function read(folder: string, truth: Truth) {
  const marks = truth.clicks.map(({ pixel, place }) => ({
    pixel: { x: pixel[0], y: pixel[1] },
    place: { x: place[0], y: place[1] },
  }));
  const click = { click: truth.miss };
  const [a, b] = marks;
  const scale =
    marks.length === 2
      ? rulerScale(a.pixel, b.pixel, b.place.x - a.place.x, click)
      : planeScale(marks, click);
  return pictureProfile(new Uint8Array(readFileSync(join(folder, truth.file))), { scale });
}

/** How a result lies to the truth. */
function judged(truth: Truth, fit: FittedSlits) {
  const lengths = truth.count > 1 ? (['width', 'spacing'] as const) : (['width'] as const);
  const offs = lengths.map((name) => {
    const off = Math.abs(fit[name].value - truth[name]);
    return { part: off / truth[name], inU: off / fit[name].u };
  });
  const right = fit.count === truth.count;
  const within2u = right && offs.every(({ inU }) => inU < 2);
  const within3Percent = right && offs.every(({ part }) => part < 0.03);
  const wrong = !right || offs.some(({ part, inU }) => part > 0.03 && inU > 2);
  return { right, within2u, within3Percent, wrongWithConfidence: fit.trusted && wrong };
}

const kept = join(here, 'kept');

describe.each(truthsIn(kept).map((truth) => [truth.file, truth] as const))('%s', (_, truth) => {
  const profile = read(kept, truth);

  test('the band is found: along the row of spots, through its middle', () => {
    const { from, to, width } = profile.line;
    const angle = Math.atan2(to.y - from.y, to.x - from.x);
    expect(Math.abs(angle - truth.direction)).toBeLessThan(0.01);
    const [x, y] = [truth.middle[0] - from.x, truth.middle[1] - from.y];
    const off = Math.abs(y * Math.cos(angle) - x * Math.sin(angle));
    expect(off).toBeLessThan(0.3 * width);
  });

  test(`the slits are ${truth.grade === 'rough' ? 'never wrong with confidence' : 'found and trusted'}`, () => {
    let fit: FittedSlits;
    try {
      fit = fitSlits(profile, { wavelength: truth.wavelength, focalLength: truth.distance });
    } catch (error) {
      expect(truth.grade).toBe('rough');
      expect((error as Error).message).toMatch(/No pattern of slits stands out/);
      return;
    }
    const found = judged(truth, fit);
    expect(found.wrongWithConfidence).toBe(false);
    if (truth.grade === 'rough') return;
    expect(fit.sentence).toMatch(/^Trust it: the points follow the pattern of/);
    expect(found).toMatchObject({ right: true, within3Percent: true, within2u: true });
  });
});

// Of numbers 1000 to 1099, which nobody looked at until five slits in a beam came out as eight there: the first six, as they
// came.
const fresh = join(here, 'fresh');
const freshTruths = truthsIn(fresh);

describe.each(freshTruths.map((truth) => [truth.file, truth] as const))('fresh: %s', (_, truth) => {
  test('right within 3 %, or not trusted, or refused with a reason', () => {
    let fit: FittedSlits;
    try {
      const { wavelength, distance } = truth;
      fit = fitSlits(read(fresh, truth), { wavelength, focalLength: distance });
    } catch (error) {
      expect((error as Error).message).toMatch(/No pattern of slits stands out/);
      return;
    }
    const found = judged(truth, fit);
    expect(found.wrongWithConfidence).toBe(false);
    if (fit.trusted) expect(found).toMatchObject({ right: true, within3Percent: true });
  });
});

const asked = Number(process.env.MULTISLIT_PHOTOGRAPHS ?? 0);
const first = process.env.MULTISLIT_PHOTOGRAPHS_FROM ?? '0';
const pillow = asked > 0 ? needs('pillow') : { path: '', skip: 'MULTISLIT_PHOTOGRAPHS is not set' };

test.skipIf(pillow.skip)('many photographs: right, honest, or refused', { timeout: 3.6e6 }, () => {
  const folder = mkdtempSync(join(tmpdir(), 'photographs-'));
  try {
    const made = spawnSync(pillow.path, [
      join(here, 'photograph.py'),
      folder,
      first,
      String(asked),
    ]);
    expect(made.status, String(made.stderr)).toBe(0);
    const rows = new Map<string, Record<string, number>>();
    for (const truth of truthsIn(folder)) {
      const row = rows.get(truth.grade) ?? {
        ...{ pictures: 0, count: 0, 'in 2u': 0, 'in 3 %': 0, trusted: 0, wrong: 0, refused: 0 },
      };
      rows.set(truth.grade, row);
      row.pictures++;
      try {
        const profile = read(folder, truth);
        const { wavelength, distance } = truth;
        const fit = fitSlits(profile, { wavelength, focalLength: distance });
        const found = judged(truth, fit);
        row.count += Number(found.right);
        row['in 2u'] += Number(found.within2u);
        row['in 3 %'] += Number(found.within3Percent);
        row.trusted += Number(fit.trusted);
        row.wrong += Number(found.wrongWithConfidence);
      } catch (error) {
        expect(error).toBeInstanceOf(RangeError);
        row.refused++;
      }
    }
    console.table(Object.fromEntries(rows));
    const all = [...rows.values()];
    expect(all.reduce((sum, { wrong }) => sum + wrong, 0)).toBeLessThanOrEqual(0.02 * asked);
    for (const grade of ['careful', 'phone']) {
      const row = rows.get(grade)!;
      expect(row['in 3 %'], grade).toBeGreaterThanOrEqual(0.8 * row.pictures);
      expect(row['in 2u'], grade).toBeGreaterThanOrEqual(0.9 * row.count);
    }
  } finally {
    rmSync(folder, { recursive: true });
  }
});

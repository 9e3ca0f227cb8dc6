import { describe, expect, test } from 'vitest';
import {
  markedIn,
  pictureLines,
  settingIn,
  withPictureLines,
} from '../../../kernel-lib/page/picture/picture-lines';
import {
  nothingTyped,
  type PictureSetting,
} from '../../../kernel-lib/page/picture/picture-setting';

const bare: PictureSetting = {
  file: 'photograph-1.png',
  band: { from: { x: 12.3, y: 400 }, to: { x: 1200, y: 420.5 }, width: 38 },
  masks: [],
  scale: {
    by: 'ruler',
    marks: [
      { x: 102.5, y: 740 },
      { x: 905, y: 738 },
    ],
    length: 0.08,
  },
  kind: 'maxima',
  marked: [],
  wavelength: nothingTyped,
  distance: nothingTyped,
};
const full: PictureSetting = {
  ...bare,
  masks: [
    { from: { x: 1, y: 2.5 }, to: { x: 3, y: 4 } },
    { from: { x: 50, y: 60 }, to: { x: 70.1, y: 80 } },
  ],
  scale: {
    by: 'paper',
    marks: [
      { x: 1, y: 2 },
      { x: 300.5, y: 4 },
      { x: 301, y: 200 },
      { x: 2, y: 203.2 },
    ],
    length: 0.05,
    height: 0.02,
  },
  kind: 'minima',
  wavelength: { value: 650e-9, u: 5e-9 },
  distance: { value: 2.05, u: 0.005 },
};
const marked = { places: [0.0012, 0.00205, 0.004], orders: [-2, -1, 1] };

describe('lines of code for a photograph', () => {
  test.each([
    ['a ruler', bare, { places: [], orders: [] }],
    ['squared paper, masks and dark places', full, marked],
    ['one pixel', { ...full, masks: [], scale: { by: 'pixel', length: 180e-6 } as const }, marked],
    [
      'no uncertainties',
      { ...full, wavelength: { value: 532e-9, u: 0 }, distance: { value: 1.5, u: 0 } },
      marked,
    ],
  ])('say what they set, and are read again: %s', (_, setting: PictureSetting, numbers) => {
    const lines = pictureLines(setting, numbers, { fit: true });
    const cell = withPictureLines('// mine\nconst a = 1;', lines);
    const again = settingIn(cell)!;
    const near = (a: unknown, b: unknown) => expect(round(a)).toEqual(round(b));
    near(again.band, setting.band);
    near(again.masks, setting.masks);
    near(again.scale, setting.scale);
    near(again.file, setting.file);
    if (numbers.places.length > 0) {
      near(again.wavelength, setting.wavelength);
      near(again.distance, setting.distance);
      near(again.kind, setting.kind);
    }
    near(markedIn(cell), numbers);
  });

  test('stand behind what a cell has, and take the place of those before', () => {
    const one = pictureLines(bare, { places: [], orders: [] }, { fit: false });
    const two = pictureLines(full, marked, { fit: true });
    const cell = withPictureLines('const mine = 1;\n', one);
    expect(cell.startsWith('const mine = 1;\n\n// The photograph')).toBe(true);
    const more = `${cell}\nconst after = own.x.length;`;
    const changed = withPictureLines(more, two);
    expect(changed.startsWith('const mine = 1;\n\n')).toBe(true);
    expect(changed.endsWith('\nconst after = own.x.length;')).toBe(true);
    expect(changed.match(/pictureProfile\('/g)).toHaveLength(1);
    expect(withPictureLines('', one)).toBe(one);
  });

  test('a cell without them, or with others, sets nothing', () => {
    expect(settingIn('')).toBeUndefined();
    expect(settingIn("const own = pictureProfile('a.png', { pixel: um(1) });")).toBeUndefined();
  });

  test('follow what was changed in them by hand', () => {
    const lines = pictureLines(bare, { places: [], orders: [] }, { fit: false });
    const again = settingIn(lines.replace('width: 38', 'width: 51').replace('mm(80)', 'mm(75)'))!;
    expect(again.band.width).toBe(51);
    expect(again.scale.length).toBeCloseTo(0.075, 12);
  });

  test('import what they use and nothing else', () => {
    const lines = pictureLines(full, marked, { fit: true });
    expect(lines).toContain(
      "import { fitSlits, lengthFromOrders, linePlot, measured, mm, nm, pictureProfile, planeScale, show } from 'multislit';",
    );
  });
});

/** Numbers to 12 digits: lengths go through mm and back. */
const round = (value: unknown): unknown =>
  JSON.parse(
    JSON.stringify(value, (_, one) =>
      typeof one === 'number' ? Number(one.toPrecision(12)) : one,
    ) ?? 'null',
  );

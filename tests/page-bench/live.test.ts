import { gunzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { asBundle } from '../../kernel-lib/display/bundle';
import { live, setBenchScript } from '../../kernel-lib/figures/live';
import { benchScript } from '../../kernel-lib/kernel/node-host';

const html = (bundle: { readonly [mime: string]: unknown }) => String(bundle['text/html']);

describe('what live(…) sends to a front end', () => {
  test('a picture with its sentence, and the setting for the page', () => {
    const bundle = live({ slits: 2, light: 'sodium' })[asBundle]();
    expect(bundle['application/vnd.multislit.bench+json']).toEqual({
      address: live({ slits: 2, light: 'sodium' }).address,
    });
    expect(bundle['text/plain']).toMatch(
      /^Film strip of 2 slits 40 µm wide, 100 µm apart in sodium lamp/,
    );
    expect(bundle['image/svg+xml']).toMatch(/^<svg/);
    expect(html(bundle)).toMatch(/<img alt="Film strip of 2 slits/);
    expect(html(bundle)).not.toContain('<script');
  });

  test('of a spectrometer a picture of the telescope’s field, along the angle', () => {
    const bundle = live({
      ...{ stand: 'spectrometer', light: 'sodium', telescope: 0.3615, field: 0.004 },
    })[asBundle]();
    expect(bundle['text/plain']).toContain('The field of the telescope');
    expect(bundle['text/plain']).toContain('Na I D2 in order 1; Na I D1 in order 1');
    // 0.3615 rad is 20.71°.
    expect(bundle['image/svg+xml']).toContain('20.7');
  });

  describe('with the bench’s own script at hand', () => {
    beforeAll(() => setBenchScript(benchScript));
    afterAll(() => setBenchScript(undefined));

    test('the picture comes first, the script is whole and fetches nothing', () => {
      const sent = html(live()[asBundle]());
      expect(sent.indexOf('<img ')).toBeLessThan(sent.indexOf('<script'));
      const packed = /atob\("([A-Za-z0-9+/=]+)"\)/.exec(sent)![1];
      const script = gunzipSync(Buffer.from(packed, 'base64')).toString();
      expect(script).toContain('multislitBench');
      expect(sent).not.toMatch(/src="(?!data:)|\bimport\(/);
      // A notebook with some benches stays small enough to send.
      expect(sent.length).toBeLessThan(190_000);
    });
  });

  test('its link sends the setting to the page, and elsewhere the code that opens the same bench', () => {
    const bench = live({ slits: 2, width: 31e-6, spacing: 87.5e-6, light: 'sodium' });
    const bundle = bench.link[asBundle]();
    expect(bundle['application/vnd.multislit.bench-link+json']).toEqual({
      address: bench.address,
      says: '2 slits, 31 µm wide, 87.5 µm apart; sodium lamp',
    });
    const [words, ...code] = String(bundle['text/plain']).split('\n');
    expect(words).toContain('opens from the page of worksheets');
    expect(code[0]).toMatch(/^import \{ live, .*um \} from 'multislit';$/);
    expect(code[1]).toMatch(/^live\(\{ .*width: um\(31\), spacing: um\(87\.5\)/);
    // Of the page's address nothing is known there, so that nothing stands as a link that leads nowhere.
    expect(html(bundle)).not.toMatch(/<a |<script/);
    expect(html(bundle)).toContain('width: um(31)');
  });

  test('what is no setting is refused by name', () => {
    expect(() => live({ slit: 3 } as never)).toThrow('The bench has no parameter slit:');
    expect(() => live(null as never)).toThrow('live() takes parameters by name');
    expect(() => live({ width: 40 })).toThrow('Slit width goes from 1 µm to 250 µm');
  });
});

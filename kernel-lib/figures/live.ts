import { asBundle, escapeText, type MimeBundle, type Showable } from '../display/bundle';
import { once } from '../numerics/once';
import { writeAddress } from './bench/address';
import { changed } from './bench/change';
import { benchPattern } from './bench/compute';
import { apertureWords, lightWords, liveCode } from './bench/describe';
import { type BenchSetting, startSetting } from './bench/setting';
import { fieldStrip } from './bench/telescope';
import { benchScript } from './bench-script';
import { pictureHtml } from './figure';
import { stripFigure } from './film-strip-picture';

/** The mime type under which a front end finds the setting of a bench: `{ address }`, as behind `#` in a link. */
const benchType = 'application/vnd.multislit.bench+json';
/** The same for a link that opens the bench as a page: `{ address, says }`, in words what is set there. */
const benchLinkType = 'application/vnd.multislit.bench-link+json';

/** A bench in a cell. As the last value it shows itself. */
export interface LiveBench extends Showable {
  /** Every parameter, those included that were not given. */
  readonly setting: BenchSetting;
  /** The setting as it stands behind `#` in a link to the bench. */
  readonly address: string;
  /**
   * A link to the bench in this setting, to be shown in the place of the bench itself: `show(live({ … }).link)`. The
   * page of worksheets opens the bench by it; elsewhere stands the code of a cell that does.
   */
  readonly link: Showable;
  /** The text alternative. */
  readonly alt: string;
  /** A static picture of the film strip and its curve. */
  readonly svg: string;
}

/**
 * The live bench in a cell: the page of worksheets and, in a notebook that is trusted, Jupyter show it
 * with all that can be moved; where scripts do not run, the film strip and its curve stand as a picture.
 *
 * @param setting what is to differ from the bench's beginning: lengths in m, angles in rad
 * @returns the bench; as a cell's last value it shows itself
 * @throws RangeError, TypeError for a parameter that is not known, out of range, or slits that overlap
 * @example live({ slits: 2, width: 20e-6 }).setting.light // 'filament'
 * @example show(live({ slits: 2, width: um(20) }).link) // undefined: the link appears below the cell
 */
export function live(setting: Partial<BenchSetting> = {}): LiveBench {
  const whole = changed(startSetting, withoutUndefined(setting));
  const figure = once(() =>
    stripFigure(whole.stand === 'spectrometer' ? fieldStrip(whole) : benchPattern(whole).strip, {
      title: `${apertureWords(whole)}; ${lightWords(whole)}`,
      ...(whole.stand === 'spectrometer'
        ? { along: 'degrees' as const }
        : { log: whole.scale === 'log' }),
    }),
  );
  const bench: LiveBench = {
    setting: whole,
    address: writeAddress(whole),
    link: { [asBundle]: () => linkBundleOf(bench) },
    get alt() {
      return figure().alt;
    },
    get svg() {
      return figure().svg;
    },
    [asBundle]: () => bundleOf(bench),
  };
  return bench;
}

function bundleOf({ address, alt, svg }: LiveBench): MimeBundle {
  return {
    [benchType]: { address },
    'text/html': benchHtml(address, pictureHtml(svg, alt)),
    'image/svg+xml': svg,
    'text/plain': alt,
  };
}

function linkBundleOf({ address, setting }: LiveBench): MimeBundle {
  const says = `${apertureWords(setting)}; ${lightWords(setting)}`;
  const words = `The live bench with these values (${says}) opens from the page of worksheets. Here it does in a cell of your own, with this code:`;
  const code = liveCode(setting);
  return {
    [benchLinkType]: { address, says },
    'text/html': `<p>${escapeText(words)}</p><pre>${escapeText(code)}</pre>`,
    'text/plain': `${words}\n${code}`,
  };
}

function withoutUndefined(setting: Partial<BenchSetting>): Partial<BenchSetting> {
  if (typeof setting !== 'object' || setting === null) {
    throw new TypeError(
      `live() takes parameters by name, such as live({ slits: 3 }), but ${String(setting)} was given.`,
    );
  }
  return Object.fromEntries(Object.entries(setting).filter(([, value]) => value !== undefined));
}

/** Finds the program that puts the bench in place of its picture, as the build makes it: it fetches nothing. */
export type FindBenchScript = () => string | undefined;

let script: () => string | undefined = () => undefined;

/**
 * Say where `live` finds the program that makes its picture a bench in any notebook. The kernel brings it.
 *
 * @example
 * setBenchScript(() => 'startBench()');
 * live({ slits: 2 })[asBundle]()['text/html'].includes('<script>') // true
 */
export function setBenchScript(next: FindBenchScript | undefined): void {
  script = once(() => {
    const program = next?.();
    return program === undefined ? undefined : benchScript(program);
  });
}

/** HTML of a bench: the picture, and the script after it. Where scripts do not run the picture stays. */
function benchHtml(address: string, picture: string): string {
  const frame = `<div data-multislit-bench="${address.replace(/&/g, '&amp;')}">${picture}</div>`;
  const start = script();
  return start === undefined ? frame : `${frame}<script>${start}</script>`;
}

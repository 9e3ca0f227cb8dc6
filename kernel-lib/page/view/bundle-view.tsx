import { useMemo } from 'preact/hooks';
import type { MimeData } from '../../notebook/notebook';
import { joinLines } from '../../notebook/text';
import { renderMarkdown } from '../text/markdown';
import { sanitise } from '../text/sanitise';
import { Later } from './later';
import { Picture } from './picture';
import { Plot, plotType } from './plot';
import { SafeHtml } from './safe-html';
import { FoldedText } from './stream-view';

const textOf = (value: unknown): string =>
  typeof value === 'string' || Array.isArray(value) ? joinLines(value as string | string[]) : '';

const benchType = 'application/vnd.multislit.bench+json';
const benchInCell = () => import('../bench/bench-in-cell').then(({ BenchInCell }) => BenchInCell);
const isAddressed = (value: unknown): value is { address: string } =>
  typeof (value as { address?: unknown } | null | undefined)?.address === 'string';

const pictures = ['image/png', 'image/jpeg', 'image/gif', 'image/webp'];

/** The address of a picture in the bundle. An SVG shown as a picture can neither run scripts nor fetch anything. */
function pictureIn(data: MimeData): string | undefined {
  for (const mime of pictures) {
    const base64 = textOf(data[mime]).replace(/\s/g, '');
    if (base64) return `data:${mime};base64,${base64}`;
  }
  const svg = textOf(data['image/svg+xml']);
  return svg ? `data:image/svg+xml,${encodeURIComponent(svg)}` : undefined;
}

/** One mime bundle, in the best form that can be shown safely. */
export function BundleView({ data }: { data: MimeData }) {
  const alt = textOf(data['text/plain']);
  const picture = pictureIn(data);
  const bench = data[benchType];
  if (isAddressed(bench)) return <Later load={benchInCell} props={bench} />;
  const plot = data[plotType];
  if (typeof plot === 'object' && plot !== null)
    return <Plot plot={plot} picture={picture} alt={alt} />;
  if (picture) return <Picture picture={picture} alt={alt || 'A picture without a description'} />;
  const html = textOf(data['text/html']);
  if (html) return <Markup html={html} />;
  const markdown = textOf(data['text/markdown']) || textOf(data['text/latex']);
  if (markdown) return <Markup markdown={markdown} />;
  return alt ? <FoldedText text={alt} /> : null;
}

/** Markup longer than this, in characters, would hold the page up. */
const LONGEST_MARKUP = 2_000_000;

function Markup(shown: { html?: string; markdown?: string }) {
  const { length } = shown.html ?? shown.markdown ?? '';
  if (length <= LONGEST_MARKUP) return <SafeMarkup {...shown} />;
  return (
    <p class="left-out">
      This output has {Math.round(length / 1e5) / 10} million characters, too many to show here; all
      of them stay in the file.
    </p>
  );
}

function SafeMarkup({ html, markdown }: { html?: string; markdown?: string }) {
  const safe = useMemo(
    () => (html === undefined ? renderMarkdown(markdown ?? '') : sanitise(html)),
    [html, markdown],
  );
  return <SafeHtml html={safe} kind="foreign" />;
}

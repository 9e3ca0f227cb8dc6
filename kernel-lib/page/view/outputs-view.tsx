import { memo } from 'preact/compat';
import { useMemo, useState } from 'preact/hooks';
import { type ReadWords, type Remark, readRemark, readWorded } from '../../cells/plain-words';
import { joinLines, type MimeData, type Output } from '../../notebook/notebook';
import type { Verdict } from '../../questions/verdict';
import { hrefOf, pageAddress } from '../address';
import { type ErrorPlace, messageOf, placeIn, stoppedName, verdictIn } from '../sheet/outputs';
import { foldText, plainText } from '../text/printed-text';
import { sanitise } from '../text/safe-markup';
import { Picture, Plot, plotType } from './figure-view';
import { Later } from './later';
import { MovableView, sliderIn } from './movable-view';
import { SafeHtml, useMarkdown } from './text-view';

/** So many outputs of one cell are shown; verdicts and errors always are. */
const MOST = 200;

interface OutputsProps {
  outputs: readonly Output[];
  /** Verdicts among them are about working that was changed since. */
  older?: boolean;
  /** The working that they are about ended with an error. */
  fails?: boolean;
}

/** What came out of a cell. Nothing in it is trusted: a notebook may come from anywhere. */
export const OutputsView = memo(({ outputs, older = false, fails = false }: OutputsProps) => {
  if (outputs.length === 0) return null;
  const left = Math.max(0, outputs.length - MOST);
  return (
    <div class="outputs">
      {outputs.map((output, index) =>
        index < MOST || output.output_type === 'error' || verdictIn(output) ? (
          <OutputView key={index} output={output} older={older} fails={fails} />
        ) : null,
      )}
      {left > 0 && (
        <p class="left-out">
          The first {MOST} of {outputs.length} outputs are shown, and every verdict and error; all
          of them stay in the file.
        </p>
      )}
    </div>
  );
});

interface OutputProps {
  output: Output;
  older: boolean;
  fails: boolean;
}

const OutputView = memo(({ output, older, fails }: OutputProps) => {
  const verdict = verdictIn(output);
  if (verdict) return <VerdictView verdict={verdict} older={older} fails={fails} />;
  switch (output.output_type) {
    case 'stream':
      return <StreamView output={output} />;
    case 'error':
      return <ErrorView output={output} />;
    default:
      return <BundleView data={output.data ?? {}} />;
  }
});

/** What was found of an answer: in a word, by the shape of the line, and only then by colour. */
function VerdictView({
  verdict: { state, message },
  older,
  fails,
}: Omit<OutputProps, 'output'> & { verdict: Verdict }) {
  return (
    <div class="verdict" data-state={state} data-older={older || fails}>
      {fails ? (
        <p class="since">
          Your working above ended with an error: mend that first, then press Check. This was said
          of what stood there before.
        </p>
      ) : (
        older && (
          <p class="since">Your working was changed since this was checked. Press Check again.</p>
        )
      )}
      <p>
        <b>{words[state]}</b> {message}
      </p>
    </div>
  );
}

const words = {
  agrees: 'Agrees.',
  'not yet': 'Not yet.',
  recorded: 'Recorded.',
  open: 'Still open.',
};

/** Printed text; long text is folded. */
function StreamView({ output }: { output: Extract<Output, { output_type: 'stream' }> }) {
  const text = useMemo(() => plainText(joinLines(output.text)), [output]);
  return <FoldedText text={text} quiet={output.name === 'stderr'} />;
}

function FoldedText({ text, quiet = false }: { text: string; quiet?: boolean }) {
  const [open, setOpen] = useState(false);
  const { shown, long, lines, leftOut, rest } = useMemo(() => foldText(text, open), [text, open]);
  return (
    <div class="printed">
      <pre class={quiet ? 'quiet' : ''} data-rest={rest || undefined}>
        {shown}
      </pre>
      {leftOut && <p class="left-out">{leftOut}</p>}
      {long && (
        <button type="button" class="quiet" aria-expanded={open} onClick={() => setOpen(!open)}>
          {open ? 'Fold' : lines > 1 ? `Show all ${lines} lines` : 'Show the whole line'}
        </button>
      )}
    </div>
  );
}

/** What went wrong and in which line; the rest of the trace only when asked for. */
function ErrorView({ output }: { output: Extract<Output, { output_type: 'error' }> }) {
  const place = placeIn([output]);
  const trace = plainText((output.traceback ?? []).join('\n')).trim();
  const message = plainText(messageOf(output));
  if (output.ename === stoppedName) return <StoppedView message={message} />;
  const worded = readWorded([trace]);
  if (worded) return <WordedError place={place} {...worded} />;
  const more = trace !== '' && trace !== message && trace !== `${output.ename}: ${message}`;
  return (
    <div class="error">
      <p>
        <b>{place ? `Error in line ${place.line}.` : 'Error.'}</b>{' '}
        <span class="what">
          {output.ename === 'Cut off' ? '' : `${output.ename}: `}
          {message}
        </span>
      </p>
      {more && (
        <details>
          <summary>Whole message</summary>
          <pre>{trace}</pre>
        </details>
      )}
    </div>
  );
}

/** A cell that was stopped: no fault of anybody's. */
function StoppedView({ message }: { message: string }) {
  return (
    <div class="error stopped">
      <p>
        <b>Stopped.</b> Your text and what the cell has shown so far are kept.{' '}
        {message.replace(/^The cell was stopped\. /, '')}
      </p>
    </div>
  );
}

/** An error in plain words, with the line as it was probably meant; the other text for it folded below. */
function WordedError({
  place,
  says,
  instead,
  from,
  other,
}: ReadWords & { place: ErrorPlace | undefined }) {
  return (
    <div class="error worded">
      <p>
        <b>{place ? `Line ${place.line}.` : 'Error.'}</b> {says}
      </p>
      {instead !== undefined && <Meant line={instead} />}
      <details>
        <summary>{from === 'engine' ? 'What the computer says' : 'What the compiler says'}</summary>
        <pre>{other}</pre>
      </details>
    </div>
  );
}

/** A line as it was probably meant. */
function Meant({ line }: { line: string }) {
  return (
    <p class="meant">
      Perhaps: <code>{line}</code>
    </p>
  );
}

/** What runs, but surely does not do what was meant. */
function RemarkView({ remark: { says, instead, line } }: { remark: Remark }) {
  return (
    <div class="remark" role="note">
      <p>
        <b>{line === undefined ? 'Remark.' : `Remark on line ${line}.`}</b> {says}
      </p>
      {instead !== undefined && <Meant line={instead} />}
    </div>
  );
}

const textOf = (value: unknown): string =>
  typeof value === 'string' || Array.isArray(value) ? joinLines(value as string | string[]) : '';

const benchType = 'application/vnd.multislit.bench+json';

const benchLinkType = 'application/vnd.multislit.bench-link+json';

const benchInCell = () => import('../bench/bench-in-cell').then(({ BenchInCell }) => BenchInCell);

const isAddressed = (value: unknown): value is { address: string; says?: unknown } =>
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

/** The drawing with axes that a figure carries in its HTML, where its picture is bare pixels of a film strip. */
function drawingIn(data: MimeData): string | undefined {
  const html = textOf(data['text/html']);
  return /^<img [^<>]*?src="(data:image\/svg\+xml;base64,[\w+/=]+)"/.exec(html)?.[1];
}

/** One mime bundle, in the best form that can be shown safely. */
function BundleView({ data }: { data: MimeData }) {
  const remark = readRemark(data);
  if (remark) return <RemarkView remark={remark} />;
  const alt = textOf(data['text/plain']);
  const picture = pictureIn(data);
  const bench = data[benchType];
  if (isAddressed(bench)) {
    const props = { address: bench.address, page: pageAddress('/bench') };
    return <Later load={benchInCell} props={props} />;
  }
  const link = data[benchLinkType];
  if (isAddressed(link)) return <BenchLink address={link.address} says={textOf(link.says)} />;
  const slider = sliderIn(data);
  if (slider) return <MovableView slider={slider} />;
  const plot = data[plotType];
  if (typeof plot === 'object' && plot !== null)
    return <Plot plot={plot} picture={drawingIn(data) ?? picture} exact={picture} alt={alt} />;
  if (picture) return <Picture picture={picture} alt={alt || 'A picture without a description'} />;
  const html = textOf(data['text/html']);
  if (html) return <Markup html={html} />;
  const markdown = textOf(data['text/markdown']) || textOf(data['text/latex']);
  if (markdown) return <Markup markdown={markdown} />;
  return alt ? <FoldedText text={alt} /> : null;
}

/** The way to the bench, in a tab of its own: the sheet stays as it stands. */
function BenchLink({ address, says }: { address: string; says: string }) {
  return (
    <p class="bench-link">
      <a href={`${hrefOf('/bench')}#${address}`} target="_blank" rel="noopener">
        Open the live bench with these values
      </a>
      {says && `: ${says}`}
    </p>
  );
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
  const own = useMemo(() => html !== undefined && sanitise(html), [html]);
  const set = useMarkdown(html === undefined ? (markdown ?? '') : '');
  return <SafeHtml html={own === false ? set : own} kind="foreign" />;
}

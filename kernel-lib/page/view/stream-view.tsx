import { useMemo, useState } from 'preact/hooks';
import type { Output } from '../../notebook/notebook';
import { joinLines } from '../../notebook/text';
import { foldText } from '../text/fold-text';
import { plainText } from '../text/plain-text';

/** Printed text; long text is folded. */
export function StreamView({ output }: { output: Extract<Output, { output_type: 'stream' }> }) {
  const text = useMemo(() => plainText(joinLines(output.text)), [output]);
  return <FoldedText text={text} quiet={output.name === 'stderr'} />;
}

export function FoldedText({ text, quiet = false }: { text: string; quiet?: boolean }) {
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

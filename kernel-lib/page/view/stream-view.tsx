import { useState } from 'preact/hooks';
import type { Output } from '../../notebook/notebook';
import { joinLines } from '../../notebook/text';
import { plainText } from '../text/plain-text';

const fold = 24;

/** Printed text; long text is folded. */
export function StreamView({ output }: { output: Extract<Output, { output_type: 'stream' }> }) {
  return <FoldedText text={plainText(joinLines(output.text))} quiet={output.name === 'stderr'} />;
}

export function FoldedText({ text, quiet = false }: { text: string; quiet?: boolean }) {
  const [open, setOpen] = useState(false);
  const lines = text.split('\n');
  const long = lines.length > fold + 6;
  const shown = long && !open ? lines.slice(0, fold).join('\n') : text;
  return (
    <div class="printed">
      <pre class={quiet ? 'quiet' : ''}>{shown.replace(/\n$/, '')}</pre>
      {long && (
        <button type="button" class="quiet" aria-expanded={open} onClick={() => setOpen(!open)}>
          {open ? 'Fold' : `Show all ${lines.length} lines`}
        </button>
      )}
    </div>
  );
}

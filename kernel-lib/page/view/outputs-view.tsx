import { memo } from 'preact/compat';
import type { Output } from '../../notebook/notebook';
import { verdictIn } from '../sheet/verdict';
import { BundleView } from './bundle-view';
import { ErrorView } from './error-view';
import { StreamView } from './stream-view';
import { VerdictView } from './verdict-view';

/** So many outputs of one cell are shown; verdicts and errors always are. */
const MOST = 200;

/** What came out of a cell. Nothing in it is trusted: a notebook may come from anywhere. */
export const OutputsView = memo(({ outputs }: { outputs: readonly Output[] }) => {
  if (outputs.length === 0) return null;
  const left = Math.max(0, outputs.length - MOST);
  return (
    <div class="outputs">
      {outputs.map((output, index) =>
        index < MOST || output.output_type === 'error' || verdictIn(output) ? (
          <OutputView key={index} output={output} />
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

const OutputView = memo(({ output }: { output: Output }) => {
  const verdict = verdictIn(output);
  if (verdict) return <VerdictView verdict={verdict} />;
  switch (output.output_type) {
    case 'stream':
      return <StreamView output={output} />;
    case 'error':
      return <ErrorView output={output} />;
    default:
      return <BundleView data={output.data ?? {}} />;
  }
});

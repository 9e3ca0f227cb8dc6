import type { Output } from '../../notebook/notebook';
import { messageOf, placeIn } from '../sheet/error-place';
import { plainText } from '../text/plain-text';

/** What went wrong and in which line; the rest of the trace only when asked for. */
export function ErrorView({ output }: { output: Extract<Output, { output_type: 'error' }> }) {
  const place = placeIn([output]);
  const trace = plainText((output.traceback ?? []).join('\n')).trim();
  const message = plainText(messageOf(output));
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

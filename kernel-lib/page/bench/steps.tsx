import { useStore } from '../store';
import { steps } from './step-list';
import type { Walk, WalkPlace } from './walk';

const acts = { ask: 'Show it', seen: 'And why?', why: 'Next step' } as const;

/** A way through the bench in steps, each with a question before it is shown. */
export function StepsView({ walk }: { walk: Walk }) {
  const place = useStore(walk.place);
  const isFirst = !place || (place.step === 0 && place.phase === 'ask');
  const isLast = place?.step === steps.length - 1 && place.phase === 'why';
  return (
    <section class="steps" aria-label="The bench in steps">
      <button type="button" disabled={isFirst} onClick={() => walk.back()}>
        Step back
      </button>
      <button type="button" class="main" disabled={isLast} onClick={() => walk.next()}>
        {place ? acts[place.phase] : 'Begin the steps'}
      </button>
      {place && (
        <button type="button" class="quiet" onClick={() => walk.leave()}>
          Leave the steps
        </button>
      )}
      <p aria-live="polite">
        {place ? (
          <>
            <b>
              {place.step + 1} of {steps.length}: {steps[place.step].title}.
            </b>{' '}
            {textOf(place)}
          </>
        ) : (
          `From a pair of slits to a grating: ${steps.length} steps. Each asks first, then shows, then explains.`
        )}
      </p>
    </section>
  );
}

const textOf = ({ step, phase }: WalkPlace): string =>
  ({ ask: steps[step].ask, seen: steps[step].look, why: steps[step].why })[phase];

import { counted } from '../../figures/shown';
import { useStore } from '../store';
import type { Step } from './step-list';
import type { Walk, WalkPlace } from './walk';

const acts = { ask: 'Show it', seen: 'And why?', why: 'Next step' } as const;

/** A way through the bench in steps, each with a question before it is shown. */
export function StepsView({ walk }: { walk: Walk }) {
  const place = useStore(walk.place);
  const steps = useStore(walk.steps);
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
            {textOf(steps[place.step], place.phase)}
          </>
        ) : (
          `${steps.some(({ isWhole }) => isWhole) ? 'Steps of your own' : 'From a pair of slits to a grating'}: ${counted(steps.length, 'step')}. Each asks first, then shows, then explains.`
        )}
      </p>
    </section>
  );
}

const textOf = ({ ask, look, why }: Step, phase: WalkPlace['phase']): string =>
  ({ ask, seen: look, why })[phase];

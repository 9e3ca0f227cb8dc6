import { useState } from 'preact/hooks';
import { changed } from '../../figures/bench/change';
import { startSetting } from '../../figures/bench/setting';
import type { BenchModel } from './bench-model';
import { steps } from './steps';

/** A way through the bench in steps. */
export function StepsView({ model }: { model: BenchModel }) {
  const [at, setAt] = useState(-1);
  const go = (to: number) => {
    setAt(to);
    model.show(changed(startSetting, steps[to].setting));
  };
  const step = steps[at];
  return (
    <section class="steps" aria-label="The bench in steps">
      <button type="button" disabled={at <= 0} onClick={() => go(at - 1)}>
        Step back
      </button>
      <button
        type="button"
        class="main"
        disabled={at === steps.length - 1}
        onClick={() => go(at + 1)}
      >
        {at < 0 ? 'Begin the steps' : 'Next step'}
      </button>
      <p aria-live="polite">
        {step ? (
          <>
            <b>
              {at + 1} of {steps.length}: {step.title}.
            </b>{' '}
            {step.look}
          </>
        ) : (
          `From a pair of slits to a grating: ${steps.length} steps, each with something to look for.`
        )}
      </p>
    </section>
  );
}

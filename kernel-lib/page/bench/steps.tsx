import { useState } from 'preact/hooks';
import { type Change, changed } from '../../figures/bench/change';
import { startSetting } from '../../figures/bench/setting';
import type { BenchModel } from './bench-model';

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

/** One step through the bench: what is set, and what to look for. */
interface Step {
  readonly title: string;
  readonly look: string;
  readonly setting: Change;
}

const pair: Change = { slits: 2, spacing: 160e-6 };
const greenPair: Change = {
  ...pair,
  filter: true,
  bandCentre: 546e-9,
  bandWidth: 10e-9,
  exposure: 2,
};
const red: Change = { light: 'laser', wavelength: 632.8e-9 };

/** From a pair of slits in lamplight to a ruled row of them. What a step does not name is as the bench begins. */
export const steps: readonly Step[] = [
  {
    title: 'A pair of slits in lamplight',
    look: 'White only in the very middle. In the first band beside it, which colour lies inside, which outside?',
    setting: pair,
  },
  {
    title: 'The same pair behind a green filter',
    look: 'Count the bright bands now. Why did white light show so few?',
    setting: greenPair,
  },
  {
    title: 'A source slit that is too wide',
    look: 'The bands are gone, though the slits are the same. At what width of the source slit do they come back?',
    setting: { ...greenPair, sourceWidth: 1000e-6 },
  },
  {
    title: 'One of the pair covered',
    look: 'No bands again, but for another reason: a single broad glow with weak ones beside it. Where is its first dark place?',
    setting: { ...greenPair, blocked: 2 },
  },
  {
    title: 'That slit half as wide',
    look: 'Say first whether the glow grows or shrinks. Which number doubles?',
    setting: { ...greenPair, blocked: 2, width: 20e-6 },
  },
  {
    title: 'The pair in red laser light',
    look: 'Pull the spacing to and fro: what moves, and what stays?',
    setting: { ...red, ...pair },
  },
  {
    title: 'Three slits',
    look: 'Between two bright lines stands a weak one. Move across it and watch the three arrows: how do they lie there?',
    setting: { ...red, slits: 3 },
  },
  {
    title: 'Five slits, counted against one',
    look: 'The scale now counts in middles of a single slit. Add slits one by one: what is the law?',
    setting: { ...red, slits: 5, absolute: true, exposure: 0.04 },
  },
  {
    title: 'Eight slits, with the weak light drawn up',
    look: 'Each mark on the scale is ten times less light. How many weak lines are there between two orders?',
    setting: { ...red, slits: 8, scale: 'log' },
  },
  {
    title: 'Sixteen slits in lamplight',
    look: 'The bands have become spectra. Which colour lies nearest to the middle, and where do two spectra meet?',
    setting: { slits: 16, exposure: 3 },
  },
  {
    title: 'Sixteen slits, one of them covered',
    look: 'Light where it was dark. Which arrow is missing?',
    setting: { ...red, slits: 16, blocked: 6, scale: 'log' },
  },
  {
    title: 'Sixteen slits, badly ruled',
    look: 'Chance errors of 6 µm. The outer orders suffer before the inner ones: why?',
    setting: { ...red, slits: 16, placeError: 6e-6, scale: 'log', span: 30e-3 },
  },
];

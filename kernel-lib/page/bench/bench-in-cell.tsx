import { useMemo } from 'preact/hooks';
import { readAddress } from '../../figures/bench/address';
import { Bench } from './bench';
import { BenchModel } from './bench-model';

const nextFrame = (draw: () => void) => void requestAnimationFrame(draw);

/** The bench that `live(…)` shows in a cell of a sheet. */
export function BenchInCell({ address }: { address: string }) {
  const model = useMemo(() => new BenchModel(readAddress(address).setting, nextFrame), [address]);
  return (
    <section class="bench in-cell" data-room="light" aria-label="Live bench">
      <div class="bench-table">
        <Bench model={model} inCell />
      </div>
    </section>
  );
}

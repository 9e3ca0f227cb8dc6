import { useMemo } from 'preact/hooks';
import { readAddress } from '../../figures/bench/address';
import { Bench } from './bench';
import { BenchModel } from './bench-model';

const nextFrame = (draw: () => void) => void requestAnimationFrame(draw);

/**
 * The bench that `live(…)` shows in a cell of a sheet, or of a notebook elsewhere.
 *
 * @param page the address of the bench as a page; none elsewhere
 */
export function BenchInCell({ address, page }: { address: string; page?: string }) {
  const model = useMemo(() => new BenchModel(readAddress(address).setting, nextFrame), [address]);
  return (
    <section class="bench in-cell" data-room="light" aria-label="Live bench">
      <div class="bench-table">
        <Bench model={model} inCell page={page} />
      </div>
    </section>
  );
}

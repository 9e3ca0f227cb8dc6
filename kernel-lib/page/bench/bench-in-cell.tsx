import { useEffect, useMemo, useRef } from 'preact/hooks';
import { readAddress } from '../../figures/bench/address';
import { changeBetween } from '../../figures/bench/change';
import { Bench } from './bench';
import { BenchModel } from './bench-model';

const nextFrame = (draw: () => void) => void requestAnimationFrame(draw);

/**
 * The bench that `live(…)` shows in a cell of a sheet, or of a notebook elsewhere.
 *
 * @param page the address of the bench as a page; none elsewhere
 */
export function BenchInCell({ address, page }: { address: string; page?: string }) {
  const first = useRef(readAddress(address).setting);
  const model = useMemo(() => new BenchModel(first.current, nextFrame), []);
  // The cell has run again: what it says otherwise than before is taken over, and what was moved by hand stays.
  useEffect(() => {
    const { setting } = readAddress(address);
    const change = changeBetween(first.current, setting);
    first.current = setting;
    if (Object.keys(change).length > 0 && !model.change(change)) model.show(setting);
  }, [address]);
  return (
    <section class="bench in-cell" data-room="light" aria-label="Live bench">
      <div class="bench-table">
        <Bench model={model} page={page} />
      </div>
    </section>
  );
}

import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { readAddress, writeAddress } from '../../figures/bench/address';
import { startSetting } from '../../figures/bench/setting';
import { hrefOf, pageAddress } from '../address';
import { Bench } from './bench';
import { BenchModel } from './bench-model';

const nextFrame = (draw: () => void) => void requestAnimationFrame(draw);

/** The live bench as a page of its own; the address carries the setting. */
export function BenchPage() {
  const place = useRef<HTMLDivElement>(null);
  const [first] = useState(() => readAddress(location.hash === '#bench' ? '' : location.hash));
  const [faults, setFaults] = useState(first.faults);
  const model = useMemo(() => {
    const made = new BenchModel(first.setting, nextFrame);
    made.pin(first.pins);
    return made;
  }, [first]);
  const [dark, setDark] = useState(false);
  const [full, setFull] = useState(false);

  useEffect(() => {
    document.title = 'Live bench · Worksheets';
  }, []);
  useEffect(() => keepAddress(model, setFaults), [model]);
  useEffect(() => {
    const changed = () => setFull(document.fullscreenElement !== null);
    document.addEventListener('fullscreenchange', changed);
    return () => document.removeEventListener('fullscreenchange', changed);
  }, []);

  const toggleFull = async () => {
    if (document.fullscreenElement) await document.exitFullscreen();
    // Where the browser refuses, the large type alone is of use.
    else await place.current?.requestFullscreen().catch(() => setFull(!full));
  };

  return (
    <div class="bench" ref={place} data-room={dark ? 'dark' : 'light'} data-large={full}>
      <a class="skip" href="#bench">
        To the bench
      </a>
      <header class="bar">
        <a href={hrefOf('/')} class="home">
          Worksheets
        </a>
        <a href={hrefOf('/help')} class="home" target="_blank" rel="noopener">
          Help
        </a>
        <h1 class="title">Live bench</h1>
        <span class="acts">
          <button type="button" onClick={() => model.show(startSetting)}>
            As at the beginning
          </button>
          <button type="button" aria-pressed={dark} onClick={() => setDark(!dark)}>
            Dark room
          </button>
          <button type="button" aria-pressed={full} onClick={toggleFull}>
            Full screen
          </button>
        </span>
      </header>
      {faults.length > 0 && (
        <div class="notices">
          <p class="notice" role="alert">
            Part of the link could not be used. {faults.join(' ')}{' '}
            <button type="button" class="quiet" onClick={() => setFaults([])}>
              Close
            </button>
          </p>
        </div>
      )}
      <main id="bench" class="bench-table" tabIndex={-1}>
        <Bench model={model} page={pageAddress('/bench')} />
      </main>
    </div>
  );
}

const addressOf = (model: BenchModel) => writeAddress(model.setting.value, model.pinned());

/** The address follows the setting, not with every frame; a link that is pasted over it is taken. */
function keepAddress(model: BenchModel, tell: (faults: readonly string[]) => void): () => void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const write = () => {
    clearTimeout(timer);
    timer = setTimeout(() => {
      history.replaceState(null, '', `#${addressOf(model)}`);
    }, 400);
  };
  const read = () => {
    // `#bench` only leads past the header.
    if (!location.hash.includes('=')) return;
    if (location.hash.slice(1) === addressOf(model)) return;
    const { setting, pins, faults } = readAddress(location.hash);
    tell(faults);
    model.show(setting);
    // A link without strips leaves those that hang.
    if (pins.length > 0) {
      model.pins.set([]);
      model.pin(pins);
    }
  };
  const stops = [model.setting.subscribe(write), model.pins.subscribe(write)];
  window.addEventListener('hashchange', read);
  return () => {
    clearTimeout(timer);
    for (const stop of stops) stop();
    window.removeEventListener('hashchange', read);
  };
}

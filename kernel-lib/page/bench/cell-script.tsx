import { render } from 'preact';
import ground from '../style/ground.css';
import { BenchInCell } from './bench-in-cell';
import controls from './style/controls.css';
import film from './style/film.css';
import inCell from './style/in-cell.css';
import layers from './style/layers.css';
import narrow from './style/narrow-and-print.css';
import table from './style/table.css';

/** In a notebook of any front end: styles stay inside, whatever stands outside. */
const styles = [ground, table, film, controls, layers, inCell, narrow]
  .join('\n')
  .replace(/:root/g, ':host');

/** Put a bench in the place of each picture that `live(…)` left. */
function mountAll(): void {
  for (const frame of document.querySelectorAll<HTMLElement>('[data-multislit-bench]')) {
    const address = frame.dataset.multislitBench ?? '';
    if (frame.shadowRoot) continue;
    const root = frame.attachShadow({ mode: 'open' });
    const sheet = document.createElement('style');
    sheet.textContent = styles;
    const place = document.createElement('div');
    root.append(sheet, place);
    // Keys typed into a field are no commands to the notebook around it.
    frame.dataset.lmSuppressShortcuts = 'true';
    for (const type of ['keydown', 'keypress', 'keyup'] as const)
      frame.addEventListener(type, (event) => event.stopPropagation());
    render(<BenchInCell address={address} />, place);
  }
}

Object.assign(globalThis, { multislitBench: { mountAll } });

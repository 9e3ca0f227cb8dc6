import { useState } from 'preact/hooks';
import { writeAddress } from '../../figures/bench/address';
import { liveCode, stripCode } from '../../figures/bench/code-line';
import type { BenchSetting } from '../../figures/bench/setting';
import { useStore } from '../net/store';
import type { BenchModel } from './bench-model';
import { useSettled } from './use-settled';

type How = 'live' | 'strip' | 'link';

function textFor(how: How, setting: BenchSetting, pinned: readonly BenchSetting[]): string {
  if (how === 'link') return `${location.origin}/bench#${writeAddress(setting, pinned)}`;
  return how === 'live' ? liveCode(setting) : stripCode(setting);
}

/** The setting to send on: as a link, as the bench in a cell, as a film strip in a cell. */
export function Share({ model, linked }: { model: BenchModel; linked: boolean }) {
  const setting = useSettled(model.setting, 200);
  useStore(model.pins);
  const [how, setHow] = useState<How>('live');
  const [done, setDone] = useState('');
  const text = textFor(how, setting, model.pinned());
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(textFor(how, model.setting.value, model.pinned()));
      setDone('Copied.');
    } catch {
      setDone('The browser does not let the page copy: select the text and copy it.');
    }
  };
  const choices = [
    ['live', 'Bench in a cell'],
    ['strip', 'Film strip in a cell'],
    ['link', 'Link'],
  ] as const;
  return (
    <section class="share" aria-labelledby="share-title">
      <div class="head">
        <h2 id="share-title">Send this setting</h2>
        {choices.slice(0, linked ? 3 : 2).map(([name, words]) => (
          <button
            key={name}
            type="button"
            aria-pressed={how === name}
            onClick={() => {
              setHow(name);
              setDone('');
            }}
          >
            {words}
          </button>
        ))}
        <button type="button" class="main" onClick={copy}>
          Copy
        </button>
        <span role="status">{done}</span>
      </div>
      <pre>{text}</pre>
      {how === 'link' && (
        <p class="note">
          The link opens on a computer where this desk runs; what stands behind # carries the
          setting and the strips to compare, so it may also be pasted behind # of another desk’s
          bench.
        </p>
      )}
    </section>
  );
}

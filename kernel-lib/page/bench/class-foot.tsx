import type { ComponentChildren } from 'preact';
import { apertureWords, cameraWords, lightWords } from '../../figures/bench/describe';
import { useStore } from '../store';
import type { BenchModel } from './bench-model';

/** What can be done while a class looks on: its key, its name, and how. */
export type ClassActs = readonly (readonly [key: string, words: string, act: () => void])[];

/** Below all, while a class looks on: what stands on the bench; when called, all that can be done. */
export function ClassFoot({
  model,
  isOpen,
  acts,
  onOpen,
  onLeave,
  children,
}: {
  model: BenchModel;
  isOpen: boolean;
  acts: ClassActs;
  onOpen: () => void;
  onLeave: () => void;
  /** What stands beside the setting. */
  children?: ComponentChildren;
}) {
  const setting = useStore(model.setting);
  const words = [apertureWords(setting), lightWords(setting), ...cameraWords(setting)];
  return (
    <div class="class-foot">
      <strong class="setting">{words.join(', ')}</strong>
      {children}
      {isOpen &&
        acts.map(([key, name, act]) => (
          <button key={key} class="act" type="button" onClick={act} aria-keyshortcuts={key}>
            {name} <kbd>{key}</kbd>
          </button>
        ))}
      <button
        class="act"
        type="button"
        aria-pressed={isOpen}
        onClick={onOpen}
        aria-keyshortcuts="C"
      >
        Controls <kbd>C</kbd>
      </button>
      <button class="act" type="button" onClick={onLeave} aria-keyshortcuts="Escape">
        Leave
      </button>
    </div>
  );
}

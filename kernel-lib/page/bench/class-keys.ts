import { useEffect, useRef } from 'preact/hooks';
import { layerNames } from '../../figures/bench/layers';

type ClassAct =
  | 'next'
  | 'back'
  | 'flip'
  | 'grow'
  | 'picture'
  | 'third'
  | 'dark'
  | 'controls'
  | 'join'
  | 'full'
  | 'leave';
type ClassActs = Readonly<Record<ClassAct, () => void>> & { layer(number: number): void };

const actOf: Readonly<Record<string, ClassAct>> = {
  PageDown: 'next',
  ArrowRight: 'next',
  PageUp: 'back',
  ArrowLeft: 'back',
  f: 'flip',
  g: 'grow',
  p: 'picture',
  a: 'third',
  d: 'dark',
  c: 'controls',
  q: 'join',
  // What some clickers send for their first button.
  F5: 'full',
  Escape: 'leave',
};

/** Keys and clickers, while a class looks on. What has the focus keeps the keys that it needs, but not those of a clicker. */
export function useClassKeys(on: boolean, acts: ClassActs): void {
  const latest = useRef(acts);
  latest.current = acts;
  useEffect(() => {
    if (!on) return;
    const key = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      const act = actOf[event.key.length === 1 ? event.key.toLowerCase() : event.key];
      const number = /^[1-9]$/.test(event.key) ? Number(event.key) : 0;
      const isLayer = number > 0 && number <= layerNames.length;
      const here = event.target as Element;
      const isOfFocus =
        here.matches('input, select, textarea') ||
        (here.matches('[role=slider]') && event.key.startsWith('Arrow'));
      const isAsked = act || isLayer;
      if (!isAsked || (isOfFocus && event.key !== 'Escape' && !event.key.startsWith('Page')))
        return;
      event.preventDefault();
      event.stopPropagation();
      if (act) latest.current[act]();
      else latest.current.layer(number);
    };
    addEventListener('keydown', key, { capture: true });
    return () => removeEventListener('keydown', key, { capture: true });
  }, [on]);
}

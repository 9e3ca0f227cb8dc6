import type { TextMark } from './chart';
export function regionLabels(): TextMark[] {
  return [];
}

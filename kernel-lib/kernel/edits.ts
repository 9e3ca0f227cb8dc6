/** Replace the text from `start` to `end` with `text`; an insertion when both are the same. */
export interface Edit {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/** Where an edit lies in the text after it, and how to come back. Plain data, so that it can be kept. */
export interface EditedText {
  readonly text: string;
  /** For each edit, in order: its start in the new and the old text, then its end in the new and the old text. */
  readonly anchors: readonly (readonly [number, number])[];
}

/**
 * Apply edits that do not overlap. Edits at the same place keep the order in which they were given.
 */
export function applyEdits(source: string, edits: readonly Edit[]): EditedText {
  const ordered = [...edits].sort((a, b) => a.start - b.start || a.end - b.end);
  const anchors: [number, number][] = [];
  let text = '';
  let at = 0;
  for (const edit of ordered) {
    text += source.slice(at, edit.start);
    anchors.push([text.length, edit.start]);
    text += edit.text;
    at = edit.end;
    anchors.push([text.length, at]);
  }
  return { text: text + source.slice(at), anchors };
}

/** The offset in the old text that the offset `after` in the new text came from. */
export function offsetBefore(anchors: EditedText['anchors'], after: number): number {
  let low = 0;
  let high = anchors.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (anchors[middle][0] <= after) low = middle + 1;
    else high = middle;
  }
  if (low === 0) return after;
  const [start, origin] = anchors[low - 1];
  // Anchors come in pairs: after the first of a pair lies new text, which stands for where it was put.
  return (low - 1) % 2 === 0 ? origin : origin + (after - start);
}

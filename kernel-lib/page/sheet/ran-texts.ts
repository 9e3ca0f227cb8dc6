import { Store } from '../store';
import { lastingWords } from '../tab';
import type { SheetModel } from './sheet-model';

const keyOf = (path: string) => `multislit.ran:${path}`;

/** Texts of one sheet that are kept at most, in UTF-16 units: the browser has room for a few millions. */
const mostKept = 300_000;

/**
 * The text that each cell had when it last ran without an error, so that a half-finished change is never the loss of
 * what worked. Kept in the browser beside the drafts, for this sheet on this computer.
 */
export class RanTexts {
  readonly texts: Store<ReadonlyMap<string, string>>;

  constructor(
    private readonly path: string,
    private readonly model: SheetModel,
  ) {
    this.texts = new Store<ReadonlyMap<string, string>>(read(path));
  }

  /** A cell ran without an error, with this text. */
  note(id: string, text: string): void {
    const isLocked = this.model.cell(id)?.metadata.editable === false;
    if (isLocked || this.texts.value.get(id) === text) return;
    this.texts.set(new Map(this.texts.value).set(id, text));
    keep(this.path, this.texts.value);
  }
}

function keep(path: string, texts: ReadonlyMap<string, string>): void {
  const all = JSON.stringify([...texts]);
  // Where nothing more can be kept this page still holds them.
  if (all.length <= mostKept) lastingWords()?.setItem(keyOf(path), all);
}

const isText = (pair: unknown): pair is [string, string] =>
  Array.isArray(pair) && typeof pair[0] === 'string' && typeof pair[1] === 'string';

function read(path: string): Map<string, string> {
  try {
    const kept: unknown = JSON.parse(lastingWords()?.getItem(keyOf(path)) ?? '[]');
    return new Map(Array.isArray(kept) ? kept.filter(isText) : []);
  } catch {
    return new Map();
  }
}

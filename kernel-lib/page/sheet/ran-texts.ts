import { Store } from '../store';
import { lastingWords } from '../tab';
import type { SheetModel } from './sheet-model';

/** @param name of the sheet, as `Session` has it */
const keyOf = (name: string) => `multislit.ran:${name}`;

/** Texts of one sheet that are kept at most, in UTF-16 units: the browser has room for a few millions. */
const mostKept = 300_000;

/**
 * The text that each cell had when it last ran without an error, so that a half-finished change is never the loss of
 * what worked. Kept in the browser beside the drafts, for this sheet on this computer.
 */
export class RanTexts {
  readonly texts: Store<ReadonlyMap<string, string>>;

  /** @param path by which they were kept before sites of one origin were told apart; they are left to the others */
  constructor(
    private readonly name: string,
    path: string,
    private readonly model: SheetModel,
  ) {
    this.texts = new Store<ReadonlyMap<string, string>>(read(name) ?? read(path) ?? new Map());
  }

  /** A cell ran without an error, with this text. */
  note(id: string, text: string): void {
    const isLocked = this.model.cell(id)?.metadata.editable === false;
    if (isLocked || this.texts.value.get(id) === text) return;
    this.texts.set(new Map(this.texts.value).set(id, text));
    keep(this.name, this.texts.value);
  }
}

function keep(name: string, texts: ReadonlyMap<string, string>): void {
  const all = JSON.stringify([...texts]);
  // Where nothing more can be kept this page still holds them.
  if (all.length <= mostKept) lastingWords()?.setItem(keyOf(name), all);
}

const isText = (pair: unknown): pair is [string, string] =>
  Array.isArray(pair) && typeof pair[0] === 'string' && typeof pair[1] === 'string';

function read(name: string): Map<string, string> | undefined {
  try {
    const kept: unknown = JSON.parse(lastingWords()?.getItem(keyOf(name)) ?? '');
    return Array.isArray(kept) ? new Map(kept.filter(isText)) : undefined;
  } catch {
    return undefined;
  }
}

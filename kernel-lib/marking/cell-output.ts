import { ownProperty } from '../questions/answer';
import { isPlainPng } from './plain-png';
import { plainText } from './plain-text';

/** What a cell brought forth as a run tells it: plain text and PNG pictures, nothing that a viewer would run. */
export type CellOutput =
  | { readonly is: 'printed'; readonly name: 'stdout' | 'stderr'; readonly text: string }
  | {
      /** Shown by the cell, or the value of its last expression. */
      readonly is: 'shown' | 'value';
      readonly text: string;
      /** Base64. */
      readonly png?: string;
    };

/** Bounds on it. Texts in UTF-16 units, pictures in base64 digits. */
export const outputBounds = {
  /** Of one cell. */
  outputs: 40,
  text: 4000,
  png: 160_000,
  /** Of one return. */
  allText: 60_000,
  allPng: 480_000,
};

/** What is left of those bounds. */
export interface Room {
  text: number;
  png: number;
}

/** @returns room for one return */
export const fullRoom = (): Room => ({ text: outputBounds.allText, png: outputBounds.allPng });

/**
 * Read the outputs of one cell of an untrusted run. What has another form, is no sound PNG, or is too much, is left out.
 *
 * @param list parsed JSON
 * @param room for all cells of the return; what is read is taken off
 */
export function readOutputs(list: unknown, room: Room): CellOutput[] {
  if (!Array.isArray(list)) return [];
  let left = outputBounds.text;
  const textOf = (value: unknown): string => {
    const text = plainText(ownProperty(value, 'text'), Math.min(left, room.text));
    left -= text.length;
    room.text -= text.length;
    return text;
  };
  return list.slice(0, outputBounds.outputs).flatMap((one): CellOutput[] => {
    const is = ownProperty(one, 'is');
    if (is === 'printed') {
      const text = textOf(one);
      const name = ownProperty(one, 'name') === 'stderr' ? 'stderr' : 'stdout';
      return text === '' ? [] : [{ is, name, text }];
    }
    if (is !== 'shown' && is !== 'value') return [];
    const png = pngOf(one, room);
    const text = textOf(one);
    return text === '' && !png ? [] : [{ is, text, ...(png ? { png } : {}) }];
  });
}

function pngOf(one: unknown, room: Room): string | undefined {
  const png = ownProperty(one, 'png');
  if (typeof png !== 'string' || png.length > Math.min(outputBounds.png, room.png))
    return undefined;
  if (!isPlainPng(png)) return undefined;
  room.png -= png.length;
  return png;
}

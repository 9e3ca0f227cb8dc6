import { strToU8, zipSync } from 'fflate';
import type { Random } from '../../../kernel-lib/numerics/random';
import type { Kind } from './plan';

/** A file that cannot be marked: what it holds, and what must stand beside each path that comes of it. */
export interface Broken {
  readonly content: string | Uint8Array;
  readonly ending?: string;
  readonly outcomes: readonly (readonly [string, string])[];
}

const one = (content: string | Uint8Array, outcome = 'not a notebook'): Broken => ({
  content,
  outcomes: [['', outcome]],
});

/** @param whole text of a whole return */
export function brokenFile(kind: Kind, whole: string, random: Random): Broken | undefined {
  switch (kind) {
    case 'cut in half':
    case 'broken, then whole':
      return one(whole.slice(0, Math.floor(whole.length * (0.1 + 0.8 * random.uniform()))));
    case 'empty':
      return one('');
    case 'text':
      return one(['Dear sir, my dog ate it.', '%PDF-1.7 …', '<html>…</html>'][random.whole(3)]);
    case 'other JSON':
      return one(['{}', '[]', 'null', '{"cells": 3, "nbformat": 4}'][random.whole(4)]);
    case 'another sheet':
      return one(
        whole.replaceAll(/"sheet": *"[^"]*"/g, '"sheet":"99-not-of-this-class"'),
        'wrong sheet',
      );
    case 'nobody’s':
      return one(whole, 'unknown student');
    case 'a word processor’s file': {
      const parts = {
        '[Content_Types].xml': strToU8('<Types/>'),
        'word/document.xml': strToU8('<w/>'),
      };
      return { content: zipSync(parts), ending: '.docx', outcomes: [['', 'not a notebook']] };
    }
    default:
      return undefined;
  }
}

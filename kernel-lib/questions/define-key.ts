import { checkKey } from './key-rules';
import type { Givens, Key } from './sheet';

/**
 * Define the key of a sheet.
 *
 * @returns the key itself
 * @throws RangeError when a sealed question lacks its open form, a written one its mark scheme, or the two do not fit
 * @example
 * const sheet = defineSheet({
 *   name: '08-a-hair',
 *   title: 'A hair in the beam',
 *   givens: () => ({}),
 *   questions: [{ id: '8.1', kind: 'written', asks: 'Why a hair is like a slit', marks: 1 }],
 * });
 * const schemes = { '8.1': [{ marks: 1, point: 'Both bend the light at two edges.' }] };
 * defineKey({ sheet, sealed: {}, model: {}, schemes, instructor: '' }).sheet.title // 'A hair in the beam'
 */
export function defineKey<Given extends Givens>(key: Key<Given>): Key<Given> {
  checkKey(key);
  return key;
}

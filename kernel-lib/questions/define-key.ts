import { checkKey } from './key-rules';
import type { Givens, Key } from './sheet';

/**
 * Define the key of a sheet.
 *
 * @returns the key itself
 * @throws RangeError when a sealed question lacks its open form, a written one its mark scheme, or the two do not fit
 */
export function defineKey<Given extends Givens>(key: Key<Given>): Key<Given> {
  checkKey(key);
  return key;
}

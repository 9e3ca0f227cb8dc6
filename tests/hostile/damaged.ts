import { strToU8 } from 'fflate';
import type { Random } from '../../kernel-lib/numerics/random';
import { zipOf } from './zip-of';

type Damage = (bytes: Uint8Array, random: Random) => Uint8Array;

/** Values that programs seldom think of. */
const odd: readonly unknown[] = [
  ...[null, true, '', 0, -1, 1e308, 1.5, [], {}, [[[]]], '\u0000', '__proto__', 'constructor'],
  ...[
    { toString: 1, valueOf: 1 },
    { length: -1 },
    { valueOf: 1 },
    'x'.repeat(5000),
    '\ud800',
    '🔬',
  ],
  ...[{ ['k'.repeat(3000)]: 1 }, Array(200).fill(0), '000000', '../../etc', { multislit: [] }],
];

/** One value somewhere in the JSON is another, or gone, or there twice. */
function otherValue(text: string, random: Random): string {
  const root = JSON.parse(text);
  let at = root;
  for (;;) {
    const keys = Object.keys(at);
    const key = keys[random.whole(keys.length)];
    const inside = at[key];
    const goesOn = typeof inside === 'object' && inside !== null && Object.keys(inside).length > 0;
    if (goesOn && random.uniform() < 0.8) {
      at = inside;
      continue;
    }
    const luck = random.uniform();
    if (luck < 0.2) delete at[key];
    else if (luck < 0.3) at[odd[11 + random.whole(2)] as string] = inside;
    else at[key] = odd[random.whole(odd.length)];
    return JSON.stringify(root);
  }
}

const flipped: Damage = (bytes, random) => {
  const copy = bytes.slice();
  const times = 1 + random.whole(20);
  for (let n = 0; n < times; n++) copy[random.whole(copy.length)] = random.whole(256);
  return copy;
};
const cut: Damage = (bytes, random) => bytes.slice(0, random.whole(bytes.length));
const doubled: Damage = (bytes, random) => {
  const [a, b] = [random.whole(bytes.length), random.whole(bytes.length)].sort((x, y) => x - y);
  return Uint8Array.from([...bytes.slice(0, b), ...bytes.slice(a)]);
};
/** Near its end, where a zip keeps its list of files. */
const endFlipped: Damage = (bytes, random) => {
  const copy = bytes.slice();
  const times = 1 + random.whole(6);
  for (let n = 0; n < times; n++)
    copy[Math.max(0, copy.length - 1 - random.whole(120))] = random.whole(256);
  return copy;
};
const zipped: Damage = (bytes, random) => {
  const name = ['a.ipynb', '__proto__', 'a/../b', '._a', '', 'x'.repeat(400)][random.whole(6)];
  return zipOf([
    { name, content: bytes },
    { name: ['more.txt', name][random.whole(2)], content: 'more' },
  ]);
};

/**
 * A damaged file: the text of a sound notebook with other values, or its bytes or those of a zip of it flipped, cut,
 * doubled; now and then a zip in a zip.
 */
export function damaged(text: string, random: Random): Uint8Array {
  const luck = random.uniform();
  const inside = luck < 0.6 ? strToU8(otherValue(text, random)) : strToU8(text);
  if (luck < 0.4) return inside;
  if (luck < 0.5) return flipped(inside, random);
  if (luck < 0.65) return [cut, doubled, flipped][random.whole(3)](inside, random);
  const zip = zipped(inside, random);
  const damages: readonly Damage[] = [endFlipped, endFlipped, flipped, cut, doubled, zipped];
  return damages[random.whole(damages.length)](zip, random);
}

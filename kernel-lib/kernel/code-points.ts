/** Jupyter counts a cursor's position in Unicode characters, JavaScript in UTF-16 units. */
export function toUnits(text: string, characters: number): number {
  let units = 0;
  for (let n = 0; n < characters && units < text.length; n += 1)
    units += text.codePointAt(units)! > 0xffff ? 2 : 1;
  return units;
}

/** The position in Unicode characters of an offset in UTF-16 units. */
export const toCharacters = (text: string, units: number): number =>
  [...text.slice(0, units)].length;

import type { Cell, Notebook } from '../notebook/notebook';
import { takesWork } from '../notebook/original-with-work';
import { sourceOf } from '../notebook/text';

import { toUnit } from '../quantity/known-unit';
import { givensFor } from '../questions/draw';
import type { AnyKey } from '../questions/sheet';
import { openForms } from '../questions/sheet';

import { type AlikeCluster, alikeClusters, digitsOf } from './alike-clusters';
import { type FoundReturn, notebookFrom } from './found-return';

/** Of pictures and long tables nobody types the numbers. */
const mostGiven = 2000;
const roundedTo = [4, 5, 6, 7, 8, 9, 10, 12, 15];

/** Groups of returns of one sheet that are alike beyond what the sheet suggests; their code and their text. */
export function alikeIn(
  key: AnyKey,
  original: Notebook,
  returns: readonly FoundReturn[],
): (AlikeCluster & { readonly sheet: string })[] {
  const sheet = key.sheet.name;
  const handedOut = new Map(original.cells.map((cell) => [cell.id, cell]));
  const own = returns.filter((one) => one.sheet === sheet);
  const compared = own.map(({ student, text }) => ({
    student,
    parts: notebookFrom(text)
      .cells.filter(({ id }) => !handedOut.has(id) || takesWork(handedOut.get(id) as Cell))
      .map(partOf),
    isGiven: givenTo(key, student),
  }));
  return alikeClusters(compared, original.cells.map(partOf)).map((one) => ({ sheet, ...one }));
}

const partOf = (cell: Cell) => ({ text: sourceOf(cell), isCode: cell.cell_type === 'code' });

/** Tells the digits of this student's givens and of right answers, rounded in any way: equal ones are no wonder. */
function givenTo(key: AnyKey, student: string): (digits: string) => boolean {
  let known: Set<string> | undefined;
  return (digits) => {
    known ??= digitsGivenTo(key, student);
    return known.has(digits);
  };
}

function digitsGivenTo(key: AnyKey, student: string): Set<string> {
  const given = givensFor(key.sheet, student);
  const numbers = numbersIn(given);
  for (const line of key.sheet.tells?.(given) ?? [])
    numbers.push(...(line.match(/\d+(?:\.\d+)?/g) ?? []).map(Number));
  for (const form of openForms(key)) {
    if (form.kind !== 'number' && form.kind !== 'list') continue;
    for (const value of [form.expected(given)].flat()) numbers.push(toUnit(value, form.unit));
  }
  const digits = numbers.flatMap((value) =>
    roundedTo.map((count) => digitsOf(Math.abs(value).toExponential(count - 1))),
  );
  return new Set(digits);
}

function numbersIn(given: unknown, found: number[] = []): number[] {
  if (found.length >= mostGiven) return found;
  if (typeof given === 'number') found.push(given);
  else if (Array.isArray(given)) for (const one of given) numbersIn(one, found);
  else if (typeof given === 'object' && given !== null && !ArrayBuffer.isView(given))
    for (const one of Object.values(given)) numbersIn(one, found);
  return found;
}

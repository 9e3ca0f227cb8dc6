import { fromUnit, knownUnit } from '../quantity/known-unit';

const examples = { length: '40um or 0.1mm', angle: '52mrad or 3deg', temperature: '3000K' };
export type Kind = keyof typeof examples;

/** A quantity typed on the command line, in SI; undefined when it is not a number with such a unit. */
export function quantityOf(text: string, kind: Kind): number | undefined {
  const match = /^\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?)\s*(\D\S*)\s*$/i.exec(text);
  const unit = match ? knownUnit(match[2]) : undefined;
  if (!match || !unit || !isOf(unit.dimension, kind)) return undefined;
  return fromUnit(Number(match[1]), match[2]);
}

function isOf(dimension: object, kind: Kind): boolean {
  return Object.entries(dimension).every(([name, power]) => power === (name === kind ? 1 : 0));
}

/** `quantityOf`, above zero. @throws Error naming the option, what was typed and how to mend it */
export function readQuantity(option: string, text: string, kind: Kind): number {
  const value = quantityOf(text, kind);
  if (value === undefined) {
    throw new Error(
      `${option} ${text}: expected ${kind === 'angle' ? 'an' : 'a'} ${kind} with its unit, such as ${examples[kind]}.`,
    );
  }
  if (!(value > 0)) throw new Error(`${option} ${text}: the ${kind} must be above zero.`);
  return value;
}

/** A number with its unit, typed as text. mathjs's own Unit objects fit this shape too. */
export interface Unit {
  /** The number in another unit of the same kind. */
  toNumber(unit: string): number;
  /** The same quantity, to be printed in another unit. */
  to(unit: string): Unit;
  multiply(factor: Unit | number): Unit;
  divide(divisor: Unit | number): Unit;
  pow(power: number): Unit;
  toString(): string;
}

/** True for a quantity made by `unit`, or by any copy of mathjs. */
export function isUnit(value: unknown): value is Unit {
  if (typeof value !== 'object' || value === null) return false;
  const some = value as Partial<Unit> & { isUnit?: unknown };
  return some.isUnit === true && typeof some.toNumber === 'function';
}
